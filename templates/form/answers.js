// The answers: what was given, when a question is asked, and how they turn into a file and back.
//
// An answer holds `text` and `unit`, or `picked` (ids of choices), or `unknown: true`, or `raw`: a value of a file that does
// not fit, which stays as it is till the person changes it.

let state = freshState();
let lastNumber = 0;

function freshState() {
  const groups = Object.create(null);
  for (const group of form.groups) groups[group.id] = freshGroup(group);
  return { groups, parts: [] };
}

function freshGroup(group) {
  if (group.repeats) return { mode: "blank", blocks: [] };
  return { answers: Object.create(null), extra: [] };
}

function freshBlock() {
  lastNumber += 1;
  return { number: lastNumber, answers: Object.create(null), extra: [] };
}

/** The holders of answers in a group: the group itself, or its blocks. */
function holders(group) {
  const it = state.groups[group.id];
  if (!group.repeats) return [it];
  return it.mode === "list" ? it.blocks : [];
}

function answerOf(holder, question) {
  return holder.answers[question.id] ?? {};
}

/** True when there is something to write, or the person said that nobody knows. */
function isAnswered(answer) {
  return Boolean(answer.unknown || answer.raw !== undefined || answer.picked?.length || answer.text?.trim());
}

/** True when nothing at all was answered. */
function isEmpty() {
  if (state.parts.length) return false;
  return form.groups.every((group) => {
    const it = state.groups[group.id];
    if (group.repeats && it.mode !== "list") return it.mode === "blank";
    if (group.repeats) return it.blocks.length === 0;
    return it.extra.length === 0 && group.questions.every((question) => !isAnswered(answerOf(it, question)));
  });
}

/** Whether a question is asked: `yes`, `no`, or `open` while the answer it hangs on is not given yet. */
function asked(group, holder, question, depth = 0) {
  let result = "yes";
  for (const part of question.when ?? []) {
    const other = form.groups.find((it) => it.id === part.group);
    const on = other?.questions.find((it) => it.id === part.question);
    if (!on || depth > 8) continue;
    const place = other.id === group.id ? holder : state.groups[other.id];
    const itself = asked(other, place, on, depth + 1);
    const says = itself === "no" ? "no" : holds(part.says, on, answerOf(place, on));
    if (says === "no") return "no";
    if (says === "open" || itself === "open") result = "open";
  }
  return result;
}

function holds(says, question, answer) {
  const known = isAnswered(answer) && !answer.unknown && answer.raw === undefined;
  if (says.answered !== undefined) return known === says.answered ? "yes" : known || isAnswered(answer) ? "no" : "open";
  // A value that nobody knows may be any of them.
  if (!known) return isAnswered(answer) ? "yes" : "open";
  const has = (id) => answer.picked?.includes(id) ?? false;
  if (says.one) return says.one.some(has) ? "yes" : "no";
  if (says.any) return says.any.some(has) ? "yes" : "no";
  if (says.all) return says.all.every(has) ? "yes" : "no";
  if (says.none) return says.none.some(has) ? "no" : "yes";
  if (says.range) {
    const { number } = readQuantity(form.units[question.unit], numberText(question, answer));
    const { low, lowOpen, high, highOpen } = says.range;
    if (number === undefined) return "yes";
    const above = low === null || number > low || (number === low && !lowOpen);
    const below = high === null || number < high || (number === high && !highOpen);
    return above && below ? "yes" : "no";
  }
  return "yes";
}

/** How many questions are asked, and how many of them have an answer: of one group, or of all. */
function tally(groups = form.groups) {
  let all = 0;
  let done = 0;
  for (const group of groups) {
    const it = state.groups[group.id];
    if (group.repeats && (it.mode !== "list" || it.blocks.length === 0)) {
      all += 1;
      done += it.mode === "none" || it.mode === "unknown" ? 1 : 0;
      continue;
    }
    for (const holder of holders(group)) {
      for (const question of group.questions) {
        if (asked(group, holder, question) !== "yes") continue;
        all += 1;
        done += isAnswered(answerOf(holder, question)) ? 1 : 0;
      }
    }
  }
  return { all, done };
}

function numberText(question, answer) {
  return joinQuantity(form.units[question.unit], answer.text ?? "", answer.unit ?? "");
}

/** One answer as YAML; undefined when there is nothing to write. */
function answerOut(question, answer) {
  if (!isAnswered(answer)) return undefined;
  if (answer.raw !== undefined) return nodeOut(answer.raw);
  if (answer.unknown) return "unknown";
  if (answer.picked) {
    const picked = question.choices.filter((id) => answer.picked.includes(id));
    if (question.type === "yes-no") return picked[0];
    if (question.type !== "choices") return scalarOut(picked[0]);
    return `[${picked.map(scalarOut).join(", ")}]`;
  }
  const text = answer.text.trim();
  if (isUnknown(text)) return "unknown";
  return scalarOut(question.type === "number" ? numberText(question, answer) : text);
}

/** The lines of one holder of answers, without indent. */
function linesOf(group, holder) {
  const lines = [];
  for (const question of group.questions) {
    if (asked(group, holder, question) !== "yes") continue;
    const value = answerOut(question, answerOf(holder, question));
    if (value !== undefined) lines.push(`${question.id}: ${value}`);
  }
  for (const [key, node] of holder.extra) lines.push(`${keyOut(key)}: ${nodeOut(node)}`);
  return lines;
}

/** The whole form as the text of a file. */
function formText() {
  const parts = [`# ${say("file-head")}`];
  for (const group of form.groups) {
    const it = state.groups[group.id];
    if (!group.repeats) {
      const lines = linesOf(group, it);
      if (lines.length) parts.push([`${group.id}:`, ...lines.map((line) => `  ${line}`)].join("\n"));
    } else if (it.mode === "none") parts.push(`${group.id}: []`);
    else if (it.mode === "unknown") parts.push(`${group.id}: unknown`);
    else if (it.mode === "list" && it.blocks.length) {
      const lines = it.blocks.flatMap((block) => {
        const own = linesOf(group, block);
        return own.length ? own.map((line, at) => `${at ? "   " : "  -"} ${line}`) : ["  - {}"];
      });
      parts.push([`${group.id}:`, ...lines].join("\n"));
    }
  }
  for (const [key, node] of state.parts) parts.push(`${keyOut(key)}: ${nodeOut(node)}`);
  return `${parts.join("\n\n")}\n`;
}

/** The answer that a value of a file gives. */
function answerIn(question, node) {
  if (node === null || node.s?.trim() === "" || node.list?.length === 0) return {};
  if (node.s !== undefined && isUnknown(node.s) && findChoice(question, node.s.trim()) === undefined) return { unknown: true };
  if (question.type === "choices") {
    const words = node.list ? node.list.filter((item) => item !== null).map((item) => item.s) : node.s?.split(",").filter((word) => word.trim());
    const picked = words?.map((word) => (word === undefined ? undefined : findChoice(question, word.trim())));
    const apart = !picked?.includes(question.alone) || new Set(picked).size === 1;
    if (!picked || picked.includes(undefined) || !apart) return { raw: node };
    return { picked: question.choices.filter((id) => picked.includes(id)) };
  }
  if (node.s === undefined) return { raw: node };
  const text = node.s.trim();
  if (question.type === "yes-no") {
    const word = folded(text);
    if (["yes", "y", "true"].includes(word)) return { picked: ["yes"] };
    if (["no", "n", "false"].includes(word)) return { picked: ["no"] };
    return { raw: node };
  }
  if (question.look === "radios" || question.look === "select") {
    const id = findChoice(question, text);
    return id === undefined ? { raw: node } : { picked: [id] };
  }
  if (question.type === "number") return splitQuantity(form.units[question.unit], text);
  return { text };
}

/** Fills a holder of answers from the names and values of a file. */
function holderIn(group, holder, node) {
  const unknown = { s: "unknown", plain: true };
  // `unknown` for the whole of it says so of each question, also of those that this form does not show.
  const entries = node.map ?? [...group.questions.map((it) => it.id), ...group.others].map((id) => [id, unknown]);
  for (const [key, value] of entries) {
    const question = group.questions.find((it) => it.id === key);
    if (!question) holder.extra.push([key, value]);
    else {
      const answer = answerIn(question, value);
      if (isAnswered(answer)) holder.answers[key] = answer;
    }
  }
}

/** The state that a file holds. Throws an `Unreadable` for what is no form. */
function stateOf(text) {
  const root = readYaml(text);
  const fresh = freshState();
  if (root === null) return fresh;
  if (!root.map) throw new Unreadable("err-not-form");
  const says = (node) => node?.s !== undefined && isUnknown(node.s);
  for (const [key, node] of root.map) {
    const group = form.groups.find((it) => it.id === key);
    if (!group) {
      fresh.parts.push([key, node]);
      continue;
    }
    const it = fresh.groups[key];
    if (node === null || node.s?.trim() === "") continue;
    if (!group.repeats) {
      if (!node.map && !says(node)) throw new Unreadable("err-group", { key });
      holderIn(group, it, node);
    } else if (says(node)) it.mode = "unknown";
    else if (!node.list) throw new Unreadable("err-list", { key });
    else {
      it.mode = node.list.length ? "list" : "none";
      it.blocks = node.list.map((item, at) => {
        const block = freshBlock();
        if (item === null) return block;
        if (!item.map && !says(item)) throw new Unreadable("err-block", { key, number: String(at + 1) });
        holderIn(group, block, item);
        return block;
      });
    }
  }
  return fresh;
}
