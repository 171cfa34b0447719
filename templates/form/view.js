// The page: shows the answers, and takes them up as they are given. Text goes in as text, never as markup.

const main = document.getElementById("questions");

/** The part of the page that shows a holder of answers. */
function placeOf(group, holder) {
  const part = document.getElementById(`part-${group.id}`);
  return group.repeats ? part.querySelector(`.block[data-number="${holder.number}"]`) : part;
}

function boxOf(group, holder, question) {
  return placeOf(group, holder)?.querySelector(`[data-q="${question.id}"]`);
}

/** What an element of the page belongs to. */
function belongs(element) {
  const box = element.closest("[data-q]");
  const part = element.closest("[data-group]");
  if (!part) return {};
  const group = form.groups.find((it) => it.id === part.dataset.group);
  const block = element.closest(".block");
  const holder = group.repeats ? state.groups[group.id].blocks.find((it) => String(it.number) === block?.dataset.number) : state.groups[group.id];
  return { group, holder, box, question: group.questions.find((it) => it.id === box?.dataset.q) };
}

/** Shows one answer in its question. */
function showAnswer(group, holder, question, box = boxOf(group, holder, question)) {
  const answer = answerOf(holder, question);
  const unsure = box.querySelector("[data-unknown]");
  if (question.look === "radios" || question.look === "boxes") {
    for (const input of box.querySelectorAll("input")) {
      input.checked = input === unsure ? Boolean(answer.unknown) : answer.picked?.includes(input.value) ?? false;
    }
  } else if (question.look === "select") {
    const select = box.querySelector("select");
    const at = Array.from(select.options).findIndex((option) => (option.hasAttribute("data-unknown") ? answer.unknown : option.value !== "" && answer.picked?.[0] === option.value));
    select.selectedIndex = Math.max(at, 0);
  } else {
    const value = box.querySelector(".value");
    if (value.value !== (answer.text ?? "")) value.value = answer.text ?? "";
    const unit = box.querySelector(".unit");
    const own = form.units[question.unit];
    if (unit) unit.value = answer.unit ?? (own.bare && !answer.text ? own.own : "");
    if (unsure) unsure.checked = Boolean(answer.unknown);
    value.disabled = Boolean(answer.unknown);
    if (unit) unit.disabled = Boolean(answer.unknown);
  }
  mark(group, holder, question, box);
  showFault(group, holder, question, box, true);
}

/** What hangs on an answer in its own box: the button that takes it back, and what is printed. */
function mark(group, holder, question, box) {
  const answer = answerOf(holder, question);
  box.querySelector(".back").hidden = !isAnswered(answer);
  const long = box.querySelector("textarea");
  if (long) long.rows = roomFor(answer.text ?? "");
  const line = box.querySelector(".paper.line");
  if (line) line.textContent = answer.unknown ? "" : question.type === "number" ? numberText(question, answer) : answer.text ?? "";
  for (const item of box.querySelectorAll(".paper.boxes li")) {
    item.classList.toggle("on", item.hasAttribute("data-unknown") ? Boolean(answer.unknown) : answer.picked?.includes(item.dataset.of) ?? false);
  }
}

/** Lines that a long text takes, within reason; it can be drawn larger by hand. */
function roomFor(text) {
  const lines = text.split("\n").reduce((sum, line) => sum + Math.max(1, Math.ceil(line.length / 55)), 0);
  return Math.min(Math.max(lines, 3), 18);
}

/** Says what is wrong with an answer. While one types, a fault is only taken away. */
function showFault(group, holder, question, box, fresh) {
  const place = box.querySelector(".error");
  const fault = faultOf(group, holder, question);
  if (fault && !fresh && place.textContent !== fault) return;
  place.textContent = fault;
  for (const control of box.querySelectorAll(".value, .unit")) {
    if (fault) control.setAttribute("aria-invalid", "true");
    else control.removeAttribute("aria-invalid");
  }
}

/** Takes up what the controls of a question say. */
function takeAnswer(group, holder, question, box, changed) {
  const answer = { ...answerOf(holder, question) };
  delete answer.raw;
  if (question.look === "radios") {
    const on = box.querySelector("input:checked");
    setAnswer(holder, question, on?.hasAttribute("data-unknown") ? { unknown: true } : on ? { picked: [on.value] } : {});
  } else if (question.look === "select") {
    const on = box.querySelector("select").selectedOptions[0];
    setAnswer(holder, question, on?.hasAttribute("data-unknown") ? { unknown: true } : on?.value ? { picked: [on.value] } : {});
  } else if (question.look === "boxes") {
    // "None" and "don't know" shut out the others, and the others shut them out.
    const apart = (input) => input.hasAttribute("data-unknown") || input.value === question.alone;
    if (changed?.checked) {
      for (const input of box.querySelectorAll("input")) {
        if (input !== changed && (apart(changed) || apart(input))) input.checked = false;
      }
    }
    const on = Array.from(box.querySelectorAll("input:checked"));
    const unknown = on.some((input) => input.hasAttribute("data-unknown"));
    setAnswer(holder, question, unknown ? { unknown } : on.length ? { picked: on.map((input) => input.value) } : {});
  } else {
    answer.unknown = box.querySelector("[data-unknown]")?.checked || undefined;
    const value = box.querySelector(".value");
    // A line shows a long text without its breaks; only what the person changes takes its place.
    if (changed === value || answer.text === undefined) answer.text = value.value;
    const unit = box.querySelector(".unit");
    if (unit) {
      // A unit typed into the line moves to the list beside it once the line is left.
      answer.unit = unit.value;
      value.disabled = unit.disabled = Boolean(answer.unknown);
    } else value.disabled = Boolean(answer.unknown);
    setAnswer(holder, question, isAnswered(answer) ? answer : {});
  }
  mark(group, holder, question, box);
}

function setAnswer(holder, question, answer) {
  if (Object.keys(answer).length) holder.answers[question.id] = answer;
  else delete holder.answers[question.id];
}

/** Shows or hides the questions that hang on others. Their answers stay. */
function showAsked() {
  for (const group of form.groups) {
    const hanging = group.questions.filter((question) => question.when?.length);
    if (!hanging.length) continue;
    for (const holder of holders(group)) {
      for (const question of hanging) {
        const box = boxOf(group, holder, question);
        if (box) box.dataset.asked = asked(group, holder, question);
      }
    }
  }
}

function showProgress() {
  const { all, done } = tally();
  document.getElementById("count").textContent = `${done} ${say("of")} ${all} ${say("answered")}`;
  const meter = document.getElementById("meter");
  meter.max = Math.max(all, 1);
  meter.value = done;
  for (const place of document.querySelectorAll("[data-tally]")) {
    const one = tally(form.groups.filter((group) => group.id === place.dataset.tally));
    place.textContent = `${one.done} ${say("of")} ${one.all}`;
    place.classList.toggle("full", one.all === one.done);
  }
}

/** The names of people, to choose from wherever someone is named. */
function showNames() {
  const list = document.getElementById("names");
  const names = (state.groups.people?.blocks ?? []).map((block) => block.answers.name?.text?.trim()).filter(Boolean);
  list.replaceChildren(...Array.from(new Set(names), (name) => Object.assign(document.createElement("option"), { value: name })));
}

/** The heading of a block: its number, and the first thing told of it. */
function showHeads(group) {
  state.groups[group.id].blocks.forEach((block, at) => {
    const place = placeOf(group, block);
    if (!place) return;
    const noun = group.repeats.charAt(0).toUpperCase() + group.repeats.slice(1);
    const first = answerOf(block, group.questions[0]);
    const told = first.picked ? place.querySelector("[data-q] :checked")?.closest("label")?.textContent : first.text?.trim();
    place.querySelector("h3").textContent = `${noun} ${at + 1}${told && !first.unknown ? `: ${shortened(told)}` : ""}`;
  });
}

/** Builds the page of one block. */
function buildBlock(group, block) {
  const copy = document.getElementById(`block-${group.id}`).content.cloneNode(true);
  for (const element of copy.querySelectorAll("*")) {
    for (const name of ["id", "for", "name", "aria-describedby", "aria-labelledby"]) {
      const value = element.getAttribute(name);
      if (value?.includes("__n__")) element.setAttribute(name, value.replaceAll("__n__", String(block.number)));
    }
  }
  const place = copy.querySelector(".block");
  place.dataset.number = String(block.number);
  return place;
}

/** Shows a repeated group: its blocks, and what was said of the whole. */
function showGroup(group) {
  const it = state.groups[group.id];
  const part = document.getElementById(`part-${group.id}`);
  const list = part.querySelector(".blocks");
  const there = it.mode === "list" ? it.blocks : [];
  for (const place of Array.from(list.children)) {
    if (!there.some((block) => String(block.number) === place.dataset.number)) place.remove();
  }
  there.forEach((block, at) => {
    let place = placeOf(group, block);
    const fresh = !place;
    if (fresh) place = buildBlock(group, block);
    if (list.children[at] !== place) list.insertBefore(place, list.children[at] ?? null);
    if (fresh) for (const question of group.questions) showAnswer(group, block, question);
  });
  part.querySelector(".whole").hidden = there.length > 0;
  for (const box of part.querySelectorAll("[data-whole]")) box.checked = it.mode === box.dataset.whole;
  showHeads(group);
}

/** Shows everything anew. */
function showAll() {
  for (const group of form.groups) {
    if (group.repeats) {
      document.getElementById(`part-${group.id}`).querySelector(".blocks").replaceChildren();
      document.getElementById(`part-${group.id}`).querySelector(".gone").replaceChildren();
      showGroup(group);
    } else for (const question of group.questions) showAnswer(group, state.groups[group.id], question);
  }
  showRest();
}

/** What hangs on all answers together. */
function showRest() {
  showAsked();
  showProgress();
  showNames();
}

/** Says something at the top of the questions. */
function notice(lines) {
  const place = document.getElementById("notice");
  place.replaceChildren(...lines.map((line) => Object.assign(document.createElement("p"), { textContent: line })));
}

/** Asks once more before something is lost. */
function sure(title, about, yes, then) {
  const dialog = document.getElementById("sure");
  document.getElementById("sure-title").textContent = say(title);
  document.getElementById("sure-about").textContent = say(about);
  const button = dialog.querySelector("[data-act=sure-yes]");
  button.textContent = say(yes);
  button.onclick = () => {
    dialog.close();
    then();
  };
  dialog.querySelector("[data-act=sure-no]").onclick = () => dialog.close();
  dialog.showModal();
}
