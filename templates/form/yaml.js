// YAML in and out. A tree is text `{s, plain}`, nothing `null`, a list `{list}` or names with values `{map: [[key, value]]}`.

const MOST_BYTES = 1 << 20;
const BLANK_WORDS = ["", "~", "null", "Null", "NULL"];

/** A file that cannot be read, with the sentence that says why. */
class Unreadable extends Error {
  constructor(key, fills) {
    super(say(key, fills));
  }
}

/** Reads one document into a tree. Every scalar stays text. */
function readYaml(source) {
  const text = source.replace(/^\uFEFF/u, "");
  if (text.length > MOST_BYTES) throw new Unreadable("err-too-large");
  let events;
  try {
    events = jsyaml.parseEvents(text, { maxDepth: 32 });
  } catch (fault) {
    throw new Unreadable("err-yaml", { line: String((fault.mark?.line ?? 0) + 1) });
  }
  const kinds = jsyaml.EVENT_ID;
  const documents = events.filter((event) => event.type === kinds.DOCUMENT).length;
  if (documents > 1) throw new Unreadable("err-two");
  let root = null;
  const open = [];
  const put = (node) => {
    const top = open.at(-1);
    if (!top || top.document) root = node;
    else if (top.list) top.list.push(node);
    else if (top.key === undefined) {
      if (!node || node.s === undefined) throw new Unreadable("err-key");
      if (top.map.some(([key]) => key === node.s)) throw new Unreadable("err-twice", { key: shortened(node.s) });
      top.key = node.s;
    } else {
      top.map.push([top.key, node]);
      top.key = undefined;
    }
  };
  for (const event of events) {
    if (event.type === kinds.ALIAS || event.anchorStart >= 0) throw new Unreadable("err-anchor");
    if (event.tagStart >= 0) throw new Unreadable("err-tag");
    if (event.type === kinds.DOCUMENT) open.push({ document: true });
    else if (event.type === kinds.SEQUENCE || event.type === kinds.MAPPING) {
      const node = event.type === kinds.SEQUENCE ? { list: [] } : { map: [] };
      put(node);
      open.push(node);
    } else if (event.type === kinds.SCALAR) {
      const value = jsyaml.getScalarValue(text, event);
      const plain = event.style === jsyaml.SCALAR_STYLE.PLAIN;
      const asKey = open.at(-1)?.map && open.at(-1).key === undefined;
      put(plain && !asKey && BLANK_WORDS.includes(value) ? null : { s: value, plain });
    } else open.pop();
  }
  return withoutKeys(root);
}

/** The same tree without the marks that reading left in it. */
function withoutKeys(node) {
  if (node?.list) return { list: node.list.map(withoutKeys) };
  if (node?.map) return { map: node.map.map(([key, value]) => [key, withoutKeys(value)]) };
  return node;
}

// Words that some reader of YAML takes for something other than text.
const RESERVED = /^(true|false|null|yes|no|on|off|y|n|nan|inf)$/iu;
const PLAIN = /^[A-Za-z][A-Za-z0-9./-]*( [A-Za-z0-9./-]+)*$/u;
const PLAIN_NUMBER = /^(0|[1-9]\d{0,9})(\.\d{0,4}[1-9])?( (%|[a-z]+))?$/u;
const PLAIN_DATE = /^\d{4}-\d{2}(-\d{2})?$/u;

/** Text in quotes. JSON strings are YAML double-quoted scalars; signs that YAML does not print, or that turn the way of
 * writing, are written as their numbers. */
function quoted(text) {
  const number = (sign) => Array.from({ length: sign.length }, (_, at) => `\\u${sign.charCodeAt(at).toString(16).padStart(4, "0")}`).join("");
  let line = JSON.stringify(text.replace(/\p{Surrogate}/gu, "\uFFFD")).replace(/[^\x20-\x7E\u{A0}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]|[\u200E\u200F\u2028-\u202E\u2066-\u2069\uFEFF]/gu, number);
  // A reader may count brackets before it looks at quotes.
  if ((line.match(/[[{]/gu) ?? []).length > 20) line = line.replace(/[[{]/gu, number);
  return line;
}

/** Text as a value on one line, in quotes where it has to be. */
function scalarOut(text) {
  const plain = (PLAIN.test(text) && !RESERVED.test(text)) || PLAIN_NUMBER.test(text) || PLAIN_DATE.test(text);
  return plain && text.length <= 200 ? text : quoted(text);
}

/** A value that came from a file, written back with the same meaning, on one line. */
function nodeOut(node, inFlow = false) {
  if (node === null) return "null";
  if (node.list) return `[${node.list.map((item) => nodeOut(item, true)).join(", ")}]`;
  if (node.map) return `{${node.map.map(([key, value]) => `${keyOut(key)}: ${nodeOut(value, true)}`).join(", ")}}`;
  // What stood plain means the same when it stands plain again, save where brackets and commas count.
  const same = node.plain && /^[\x21-\x7E\u{A0}-\u{D7FF} ]+$/u.test(node.s) && !(inFlow && /[,[\]{}]/u.test(node.s));
  return same ? node.s : quoted(node.s);
}

function keyOut(key) {
  return /^[A-Za-z][A-Za-z0-9-]*$/u.test(key) && !RESERVED.test(key) ? key : quoted(key);
}
