// Quantities as people write them: `45 cm`, `5 ft 2 in`, `1 1/2 in`, `about 9`. The same ones that the program reads.

const FRACTIONS = { "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8" };
const BARE = /^[-+]?[\d.,\/ ½¼¾⅛⅜⅝⅞]*[\d½¼¾⅛⅜⅝⅞][.,]?$/u;

/** Fractions as decimals. */
function withoutFractions(text) {
  if (!/[\/½¼¾⅛⅜⅝⅞]/u.test(text)) return text;
  const words = [];
  for (const word of text.replace(/[½¼¾⅛⅜⅝⅞]/gu, (sign) => ` ${FRACTIONS[sign]}`).split(/\s+/u).filter(Boolean)) {
    const [, top, bottom, unit] = /^(\d+)\/(\d+)([^\d\/].*)?$/u.exec(word) ?? [];
    if (top === undefined || Number(bottom) === 0) {
      words.push(word);
      continue;
    }
    const whole = /^\d+$/u.test(words.at(-1) ?? "") ? Number(words.pop()) : 0;
    words.push(String(whole + Number(top) / Number(bottom)));
    if (unit) words.push(unit);
  }
  return words.join(" ");
}

/** A number with `.` or a decimal `,`; a comma before exactly three last digits is a thousands mark. NaN for none. */
function plainNumber(digits) {
  const parts = digits.split(",");
  if (parts.length === 2 && parts[1].length !== 3 && !digits.includes(".")) digits = digits.replace(",", ".");
  else if (parts.length > 1) {
    if (!digits.split(".")[0].split(",").slice(1).every((part) => part.length === 3)) return NaN;
    digits = digits.replaceAll(",", "");
  }
  return /^[-+]?(\d+\.?\d*|\.\d+)$/u.test(digits) ? Number(digits) : NaN;
}

/** Reads a quantity in a question's unit: `{number}`, or `{fault, word}`. */
function readQuantity(units, text) {
  let rest = withoutFractions(text).trim().replace(/^(about |approx\. |~)/u, "").trimStart();
  let total = 0;
  let parts = 0;
  while (rest !== "") {
    const [digits] = /^[-+]?[\d.,]*/u.exec(rest);
    const number = plainNumber(digits);
    if (Number.isNaN(number)) return { fault: "number" };
    rest = rest.slice(digits.length).trimStart();
    const [written] = /^[^\d\-+]*/u.exec(rest);
    rest = rest.slice(written.length);
    const word = written.trim().replace(/[.,]+$/u, "").replace(/ and$/u, "").replace(/ old$/u, "").trim();
    parts += 1;
    if (word === "") {
      if (parts > 1 || rest !== "") return { fault: "number" };
      if (!units.bare) return { fault: "unit-missing" };
      total += number;
    } else {
      const name = word.toLowerCase();
      if (!Object.hasOwn(units.sizes, name)) return { fault: "unit", word };
      total += number * units.sizes[name];
    }
  }
  return parts === 0 ? { fault: "number" } : { number: Math.round(total * 1e6) / 1e6 };
}

/** The word of the list that a written unit means, or undefined. */
function listedUnit(units, word) {
  const size = Object.hasOwn(units.sizes, word) ? units.sizes[word] : undefined;
  return size === undefined ? undefined : units.fits.find((fit) => units.sizes[fit] === size);
}

/** A quantity as the form shows it: the number, and its unit from the list where that can be told apart. */
function splitQuantity(units, text) {
  const whole = text.trim();
  const [, number, word] = /^(.*[\d.½¼¾⅛⅜⅝⅞])\s*([^\d\s.½¼¾⅛⅜⅝⅞]+)$/u.exec(whole) ?? [];
  if (number !== undefined && BARE.test(number)) {
    const unit = listedUnit(units, word.toLowerCase());
    if (unit) return { text: number, unit };
  }
  return { text: whole, unit: BARE.test(whole) && units.bare ? units.own : "" };
}

/** A number and a unit as the file has them. What was typed with a unit of its own stays as typed. */
function joinQuantity(units, text, unit) {
  const split = splitQuantity(units, text);
  const bare = BARE.test(text.trim());
  const word = bare ? unit || (units.bare ? units.own : "") : split.unit;
  return word ? `${split.text} ${word}` : split.text;
}
