// Ties the page to what a person does on it.

const LARGE = "perchside form large print";

function changed() {
  showRest();
  keep();
}

main.addEventListener("input", (event) => {
  const { group, holder, question, box } = belongs(event.target);
  if (!question || !holder) return;
  takeAnswer(group, holder, question, box, event.target);
  showFault(group, holder, question, box, false);
  if (group.repeats && question === group.questions[0]) showHeads(group);
  changed();
});

main.addEventListener("change", (event) => {
  const { group, holder, question, box } = belongs(event.target);
  if (event.target.dataset.whole) {
    const it = state.groups[group.id];
    it.mode = event.target.checked ? event.target.dataset.whole : "blank";
    showGroup(group);
    changed();
  } else if (question && holder) {
    showFault(group, holder, question, box, true);
    // A line that was empty and hidden is not read out when it fills, so a reader of the screen hears it from here.
    document.getElementById("heard").textContent = box.querySelector(".error").textContent;
  }
});

const acts = {
  back({ group, holder, question, box }) {
    delete holder.answers[question.id];
    showAnswer(group, holder, question, box);
    box.querySelector("input, select, textarea").focus();
    if (group.repeats) showHeads(group);
    changed();
  },
  add({ group }) {
    const it = state.groups[group.id];
    it.mode = "list";
    const block = freshBlock();
    it.blocks.push(block);
    showGroup(group);
    changed();
    placeOf(group, block).querySelector("h3").focus();
  },
  remove({ group, holder }) {
    const it = state.groups[group.id];
    const at = it.blocks.indexOf(holder);
    const what = placeOf(group, holder).querySelector("h3").textContent;
    it.blocks.splice(at, 1);
    if (!it.blocks.length) it.mode = "blank";
    showGroup(group);
    changed();
    const gone = document.getElementById(`part-${group.id}`).querySelector(".gone");
    const undo = Object.assign(document.createElement("button"), { type: "button", textContent: say("undo") });
    undo.addEventListener("click", () => {
      it.mode = "list";
      it.blocks.splice(at, 0, holder);
      gone.replaceChildren();
      showGroup(group);
      changed();
      placeOf(group, holder).querySelector("h3").focus();
    });
    gone.replaceChildren(Object.assign(document.createElement("span"), { textContent: say("removed", { what }) }), undo);
    undo.focus();
  },
  save: () => save(false),
  "save-anyway": () => save(true),
  print: () => print(),
  open: () => document.getElementById("file").click(),
  clear: () =>
    sure("clear-ask", "clear-about", "clear-yes", () => {
      state = freshState();
      showAll();
      keep();
      notice([say("cleared")]);
      document.getElementById("notice").focus();
    }),
  large(_, button) {
    const on = document.documentElement.classList.toggle("large");
    button.setAttribute("aria-pressed", String(on));
    try {
      localStorage.setItem(LARGE, on ? "yes" : "no");
    } catch {
      // The switch works for this visit all the same.
    }
  },
};

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-act]");
  const act = button && acts[button.dataset.act];
  if (act) act(belongs(button), button);
});

document.getElementById("file").addEventListener("change", (event) => {
  const [file] = event.target.files;
  event.target.value = "";
  if (!file) return;
  if (isEmpty()) openFile(file);
  else sure("open-ask", "open-about", "open-yes", () => openFile(file));
});

const parts = document.getElementById("parts");
const wide = matchMedia("(min-width: 64rem)");
const fold = () => {
  parts.open = wide.matches;
};
wide.addEventListener("change", fold);
fold();
parts.addEventListener("click", (event) => {
  if (event.target.closest("a") && !wide.matches) parts.open = false;
});

try {
  if (localStorage.getItem(LARGE) === "yes") acts.large(null, document.querySelector("[data-act=large]"));
} catch {
  // No storage: the usual size.
}
bringBack();
showAll();
keep();

// For a page that checks a form: the file as text, and a text put in its place.
window.perchside = Object.freeze({ text: formText, open: openText });
