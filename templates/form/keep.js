// Keeps the answers in this browser while one types. The place of the page is part of the key, so that the form of another
// home, saved in another place, has answers of its own.

const KEPT = `perchside form ${form.tier} ${location.pathname}`;
let canKeep = true;

function keep() {
  try {
    if (isEmpty()) localStorage.removeItem(KEPT);
    else localStorage.setItem(KEPT, JSON.stringify(state));
    canKeep = true;
  } catch {
    canKeep = false;
  }
  document.getElementById("kept").textContent = say(canKeep ? "kept" : "not-kept");
}

/** Brings back what was kept. Only what the form of today has a place for is taken over. */
function bringBack() {
  let kept = null;
  try {
    kept = JSON.parse(localStorage.getItem(KEPT) ?? "null");
  } catch {
    canKeep = false;
  }
  if (!kept?.groups) return;
  for (const group of form.groups) {
    const it = kept.groups[group.id];
    if (!it) continue;
    const taken = state.groups[group.id];
    if (group.repeats && Array.isArray(it.blocks)) {
      taken.mode = it.mode;
      taken.blocks = it.blocks.map((block) => takeOver(group, freshBlock(), block));
    } else if (!group.repeats && it.answers) takeOver(group, taken, it);
  }
  state.parts = Array.isArray(kept.parts) ? kept.parts : [];
}

function takeOver(group, holder, kept) {
  for (const question of group.questions) {
    if (!Object.hasOwn(kept.answers ?? {}, question.id)) continue;
    const answer = kept.answers[question.id];
    if (answer.picked) answer.picked = answer.picked.filter((id) => question.choices.includes(id));
    holder.answers[question.id] = answer;
  }
  holder.extra = kept.extra ?? [];
  return holder;
}

addEventListener("storage", (event) => {
  if (event.key === KEPT) notice([say("other-window")]);
});

addEventListener("beforeunload", (event) => {
  if (!canKeep && !isEmpty()) event.preventDefault();
});
