// What the page was made with, the words it says, and small helps for text.

const form = JSON.parse(document.getElementById("form-data").textContent);

/** A sentence of the page, with its gaps filled. */
function say(key, fills = {}) {
  return Object.entries(fills).reduce((text, [name, fill]) => text.split(`{${name}}`).join(fill), form.words[key]);
}

/** One form for comparing names: lower case, single spaces, `-` and `_` as spaces. */
function folded(text) {
  return text.split(/[\s\-_]+/u).filter(Boolean).join(" ").toLowerCase();
}

const UNKNOWN = ["unknown", "don't know", "dont know", "don’t know", "i don't know", "do not know", "not known", "?", "??"];

/** True for "I don't know" in the ways people write it. */
function isUnknown(text) {
  return text.length <= 20 && UNKNOWN.includes(folded(text));
}

/** The choice that a word means, or undefined. */
function findChoice(question, word) {
  return question.choices.find((id) => id === word) ?? question.choices.find((id) => folded(id) === folded(word));
}

/** A long text cut short for a message. */
function shortened(text) {
  const signs = Array.from(text.replace(/\s+/gu, " "));
  return signs.length > 60 ? `${signs.slice(0, 60).join("")}…` : signs.join("");
}
