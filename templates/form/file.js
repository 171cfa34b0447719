// The file that is handed over: saving it, and opening one.

/** Saves the answers, or first shows which of them need a look. */
function save(anyway) {
  const look = document.getElementById("look");
  const saved = document.getElementById("saved");
  const faults = allFaults();
  look.hidden = anyway || faults.length === 0;
  saved.textContent = "";
  if (!look.hidden) {
    look.querySelector("ul").replaceChildren(...faults.map(faultLink));
    look.focus();
    return;
  }
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([formText()], { type: "application/yaml" }));
  link.download = "intake.yaml";
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  saved.textContent = say("saved");
}

/** A line that leads to a question with a fault. */
function faultLink({ group, holder, question, fault }) {
  const box = boxOf(group, holder, question);
  showFault(group, holder, question, box, true);
  const link = document.createElement("a");
  link.href = `#${box.id}`;
  link.textContent = question.ask;
  link.addEventListener("click", (event) => {
    event.preventDefault();
    box.scrollIntoView({ block: "start" });
    box.querySelector("input, select, textarea").focus();
  });
  const item = document.createElement("li");
  item.append(link, ` ${fault}`);
  return item;
}

/** Puts the answers of a text in place of those on the form. Gives what there is to say about it. */
function openText(text) {
  state = stateOf(text);
  showAll();
  keep();
  const lines = [say("opened")];
  const unasked = form.groups.flatMap((group) =>
    holders(group).flatMap((holder) =>
      group.questions.filter((question) => asked(group, holder, question) !== "yes" && isAnswered(answerOf(holder, question))),
    ),
  );
  if (unasked.length) lines.push(say("opened-unasked", { list: unasked.map((question) => question.ask).join(" ") }));
  if (state.parts.length || form.groups.some((group) => holders(group).some((holder) => holder.extra.length))) lines.push(say("opened-kept"));
  if (allFaults().length) lines.push(say("opened-unfit"));
  return lines;
}

async function openFile(file) {
  let lines;
  try {
    if (file.size > MOST_BYTES) throw new Unreadable("err-too-large");
    if (file.size === 0) throw new Unreadable("err-empty");
    let text;
    try {
      text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
    } catch {
      throw new Unreadable("err-not-text");
    }
    lines = openText(text);
  } catch (fault) {
    if (!(fault instanceof Unreadable)) throw fault;
    lines = [say("cannot-open"), fault.message];
  }
  notice(lines);
  document.getElementById("notice").focus();
}
