// What does not look right about an answer, said while the person can still put it right. The program checks more.

/** The sentence that says what is wrong with an answer; empty when nothing is. */
function faultOf(group, holder, question) {
  const answer = answerOf(holder, question);
  if (answer.raw !== undefined) return say("bad-raw", { text: shortened(answer.raw?.s ?? nodeOut(answer.raw)) });
  const text = answer.text?.trim() ?? "";
  if (answer.unknown || text === "" || isUnknown(text)) return "";
  if (question.type === "date") {
    const fault = dateFault(text, question);
    return fault ? say(fault) : "";
  }
  if (question.type === "number") return numberFault(question, answer);
  if (group.id === "people" && question.id === "name") {
    const same = state.groups.people.blocks.filter((block) => block.answers.name?.text?.trim() === text);
    return same.length > 1 ? say("bad-twice") : "";
  }
  return "";
}

function numberFault(question, answer) {
  const read = readQuantity(form.units[question.unit], numberText(question, answer));
  if (read.fault === "unit") return say("bad-unit", { text: shortened(read.word) });
  if (read.fault) return say(`bad-${read.fault}`);
  if (read.number < question.min || read.number > question.max) {
    return say("bad-range", { least: question.least, most: question.most });
  }
  return "";
}

/** Every fault on the form, in its order: group, holder, question, sentence. */
function allFaults() {
  const found = [];
  for (const group of form.groups) {
    for (const holder of holders(group)) {
      for (const question of group.questions) {
        if (asked(group, holder, question) !== "yes") continue;
        const fault = faultOf(group, holder, question);
        if (fault) found.push({ group, holder, question, fault });
      }
    }
  }
  return found;
}
