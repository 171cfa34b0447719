// What goes into the form comes out of it: random forms, the examples, and quantities read as the program reads them.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync, readdirSync, existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import fc from "fast-check";
import * as yaml from "js-yaml";
import { PERCHSIDE, ROOT, TODAY, browser, folder, open, perchside } from "./browser.mjs";

const FORMS = 240;

const HOSTILE = [
  "<script>window.ran = 1</script>",
  "{{ x }} {% y %}",
  "yes",
  "null",
  "~",
  "unknown",
  "?",
  "- a",
  "# no note",
  "a: b",
  "a #b",
  "'",
  '"',
  "\\",
  "\u202eabc",
  "012",
  "1e3",
  "0x1F",
  "2026-01-01",
  "x".repeat(10_000),
  "[{".repeat(200),
  "two\nlines",
  "\ttab\u0007\u0085\u2028",
  "&a *b !c |",
  "%",
  "@x",
  "`x`",
];

const anyText = fc.oneof(
  { weight: 4, arbitrary: fc.constantFrom(...HOSTILE) },
  { weight: 3, arbitrary: fc.string({ unit: "binary", maxLength: 40 }) },
  { weight: 3, arbitrary: fc.string({ unit: "grapheme-ascii", maxLength: 40 }) },
  fc.lorem({ maxCount: 6 }),
);
const soundDate = fc
  .tuple(fc.integer({ min: 1900, max: 2025 }), fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 28 }), fc.integer({ min: 1, max: 3 })).map(([year, month, day, parts]) => [String(year), String(month).padStart(2, "0"), String(day).padStart(2, "0")].slice(0, parts).join("-"));
const soundTime = fc.tuple(soundDate.filter((it) => it.length === 10), fc.constantFrom(" 16:30", "T09:05:59Z", " 4:30 pm +01:00", "T23:59:59.25-03:30", " 16.30")).map((parts) => parts.join(""));
const anyDate = fc.oneof(soundDate, soundTime, anyText);

/** What a person may do with one question. `sound`: numbers and dates are such that the program takes them. */
function anyAnswer(form, question, sound) {
  const unknown = fc.constant({ unknown: true });
  const blank = fc.constant({});
  const choose = (of) => fc.oneof({ weight: 5, arbitrary: of }, { weight: 1, arbitrary: unknown }, { weight: 2, arbitrary: blank });
  if (question.look === "radios" || question.look === "select") return choose(fc.constantFrom(...question.choices).map((id) => ({ picked: [id] })));
  if (question.look === "boxes") {
    const some = fc.subarray(question.choices.filter((id) => id !== question.alone), { minLength: 1 });
    return choose(fc.oneof(some, fc.constant(question.alone ? [question.alone] : [question.choices[0]])).map((picked) => ({ picked })));
  }
  if (question.type === "number") {
    const units = form.units[question.unit];
    if (sound) {
      const whole = fc.integer({ min: Math.ceil(question.min), max: Math.floor(question.max) }).map(String);
      return choose(whole.map((text) => ({ text, unit: units.fits.length > 1 ? units.own : "" })));
    }
    const number = fc.oneof(fc.integer({ min: 0, max: 300 }).map(String), fc.double({ min: 0, max: 50, noNaN: true }).map((it) => it.toFixed(2)), fc.constantFrom("1 1/2", "½", "5 ft 2 in", "about 9", "1,100", "-3", "3 weeks", "", "."), anyText);
    return choose(fc.record({ text: number, unit: fc.constantFrom("", ...(units.fits.length > 1 ? units.fits : [])) }));
  }
  const ofSound = question.time ? fc.oneof(soundDate, soundTime) : soundDate;
  return choose((question.type !== "date" ? anyText : sound ? ofSound : anyDate).map((text) => ({ text })));
}

function anyForm(form, sound) {
  const holder = (group) => fc.record(Object.fromEntries(group.questions.map((question) => [question.id, anyAnswer(form, question, sound)])));
  const empty = (group) => fc.constant(Object.fromEntries(group.questions.map((question) => [question.id, {}])));
  return fc.record(
    Object.fromEntries(
      form.groups.map((group) => [
        group.id,
        group.repeats
          ? fc.oneof(fc.constantFrom("blank", "none", "unknown"), fc.array(fc.oneof({ weight: 6, arbitrary: holder(group) }, { weight: 1, arbitrary: empty(group) }), { minLength: 1, maxLength: 3 }))
          : fc.oneof({ weight: 9, arbitrary: holder(group) }, { weight: 1, arbitrary: empty(group) }),
      ]),
    ),
  );
}

/** Fills in a form by its controls, as a person does. Runs in the page. */
function fillIn(given) {
  const form = JSON.parse(document.getElementById("form-data").textContent);
  const left = (control) => ["input", "change"].forEach((kind) => control.dispatchEvent(new Event(kind, { bubbles: true })));
  perchside.open("");
  for (const group of form.groups) {
    const part = document.getElementById(`part-${group.id}`);
    const fill = (place, answers) => {
      for (const question of group.questions) {
        const box = place.querySelector(`[data-q="${question.id}"]`);
        const answer = answers[question.id];
        if (answer.text !== undefined) {
          const value = box.querySelector(".value");
          value.value = answer.text;
          left(value);
          const unit = box.querySelector(".unit");
          if (unit) {
            unit.value = answer.unit;
            left(unit);
          }
        }
        if (question.look === "select") {
          const select = box.querySelector("select");
          const index = Array.from(select.options).findIndex((it) => (answer.unknown ? it.hasAttribute("data-unknown") : it.value !== "" && it.value === answer.picked?.[0]));
          if (index > 0) {
            select.selectedIndex = index;
            left(select);
          }
        } else {
          const wanted = answer.unknown ? [box.querySelector("[data-unknown]")] : (answer.picked ?? []).map((id) => Array.from(box.querySelectorAll("input")).find((it) => it.value === id));
          for (const input of wanted) {
            input.checked = true;
            left(input);
          }
        }
      }
    };
    const what = given[group.id];
    if (!group.repeats) fill(part, what);
    else if (typeof what === "string") {
      const box = part.querySelector(`[data-whole="${what}"]`);
      if (box) {
        box.checked = true;
        left(box);
      }
    } else {
      for (const answers of what) {
        part.querySelector("[data-act=add]").click();
        fill(part.querySelector(".block:last-child"), answers);
      }
    }
  }
  const shows = () =>
    Array.from(document.querySelectorAll("main [data-q]"), (box) => {
      // Words for "don't know" typed into a line come back as its box; lines are held against the file instead.
      if (!box.checkVisibility() || box.querySelector("input.value, textarea.value")) return "";
      const chosen = Array.from(box.querySelectorAll("input:checked"), (it) => it.value || "unknown").join();
      const listed = box.querySelector("select.value")?.selectedIndex ?? "";
      return `${box.dataset.q} ${chosen} ${listed}`;
    }).join("\n");
  const first = { text: perchside.text(), shows: shows(), count: document.getElementById("count").textContent };
  perchside.open(first.text);
  const second = { text: perchside.text(), shows: shows(), count: document.getElementById("count").textContent };
  return { first, second, ran: typeof window.ran };
}

const UNKNOWN = /^(unknown|don'?t know|don’t know|i don't know|do not know|not known|\?|\?\?)$/iu;
const folded = (text) => text.split(/[\s\-_]+/u).filter(Boolean).join(" ");

/** What the file must hold for an answer, told without the form's own scripts. Undefined where nothing is to be written. */
function expected(form, question, answer) {
  if (answer.unknown) return "unknown";
  if (answer.picked) return question.type === "choices" ? question.choices.filter((id) => answer.picked.includes(id)) : answer.picked[0];
  if (answer.text === undefined) return undefined;
  // A control of the page turns ends of lines into one kind, and a line drops them.
  const shown = question.look === "long" ? answer.text.replace(/\r\n?/gu, "\n") : answer.text.replace(/[\r\n]/gu, "");
  const text = shown.replace(/\p{Surrogate}/gu, "\ufffd").trim();
  if (text === "") return undefined;
  if (UNKNOWN.test(folded(text)) && text.length <= 20) return "unknown";
  return text;
}

test(`${FORMS} random forms come back from their files as they were`, async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const path = join(at, "form.html");
  writeFileSync(path, perchside("blank", "--form", "--tier", "visit"));
  const page = await open(on, path);
  const form = JSON.parse(await page.$eval("#form-data", (it) => it.textContent));
  const questions = form.groups.flatMap((group) => group.questions);
  assert.deepEqual([...new Set(questions.map((it) => it.type))].sort(), ["choice", "choices", "date", "level", "number", "text", "yes-no"]);
  const seen = { answers: 0, forms: 0, refused: 0, sound: 0 };

  await fc.assert(
    fc.asyncProperty(fc.boolean().chain((sound) => fc.record({ sound: fc.constant(sound), given: anyForm(form, sound) })), async ({ sound, given }) => {
      const { first, second, ran } = await page.evaluate(fillIn, given);
      assert.equal(second.text, first.text);
      assert.equal(second.shows, first.shows);
      assert.equal(second.count, first.count);
      assert.equal(ran, "undefined");
      // The same file in the eyes of a reader that is not the form's.
      const held = yaml.load(first.text.includes("\n\n") ? first.text : "{}", { schema: yaml.FAILSAFE_SCHEMA });
      for (const group of form.groups) {
        const what = given[group.id];
        if (typeof what === "string") {
          assert.deepEqual(held[group.id], { blank: undefined, none: [], unknown: "unknown" }[what]);
          continue;
        }
        const pairs = group.repeats ? what.map((answers, n) => [answers, held[group.id][n]]) : [[what, held[group.id] ?? {}]];
        if (group.repeats) assert.equal(held[group.id].length, what.length);
        for (const [answers, written] of pairs) {
          for (const question of group.questions.filter((it) => !it.when.length)) {
            const wanted = expected(form, question, answers[question.id]);
            const found = written[question.id];
            if (question.type === "number" && wanted !== undefined && wanted !== "unknown") {
              // The text stands as it was typed; or the number stands with its unit from the list, also for `18"` and `430grams`.
              const number = wanted.replace(/\s*[^\d\s.½¼¾⅛⅜⅝⅞]+$/u, "");
              const asListed = [number, wanted].some((start) => form.units[question.unit].fits.some((unit) => found === `${start} ${unit}`));
              assert.ok(found === wanted || asListed, `${found} for ${wanted}`);
            } else assert.deepEqual(found, wanted, `${group.id}.${question.id}`);
            seen.answers += wanted === undefined ? 0 : 1;
          }
        }
      }
      // The program reads it: answers may not fit, the file as a file is always sound.
      const file = join(at, "intake.yaml");
      writeFileSync(file, first.text);
      const run = spawnSync(PERCHSIDE, ["--today", TODAY, "plan", file, "--format", "json"], { encoding: "utf8", maxBuffer: 1 << 27 });
      const mistakes = new Set(Array.from(run.stderr.matchAll(/^error\[([a-z0-9-]+)\]/gmu), ([, name]) => name));
      assert.ok(run.status === 0 || mistakes.size > 0, run.stderr);
      seen.refused += run.status === 0 ? 0 : 1;
      const against = ["age-against-date", "person-named-twice", "figure-does-not-fit", "counts-contradict"];
      const ofContent = ["out-of-range", "not-a-number", "unit-missing", "unit-unknown", "unit-wrong", "not-a-date", "no-such-day", "no-such-time", "date-two-ways", "date-ahead", "date-too-old"];
      const allowed = sound ? against : [...against, ...ofContent];
      assert.deepEqual([...mistakes].filter((name) => !allowed.includes(name)), [], run.stderr.slice(0, 2000));
      seen.sound += sound ? 1 : 0;
      seen.forms += 1;
    }),
    { numRuns: FORMS, seed: 20261125, endOnFailure: true, includeErrorInReport: true },
  );
  assert.ok(seen.forms >= 200 && seen.sound > 50 && seen.answers > 10_000, JSON.stringify(seen));
  t.diagnostic(`${seen.forms} forms, ${seen.answers} answers, ${seen.sound} with sound figures, ${seen.refused} with answers that the program asks back`);
  assert.deepEqual(page.requests, []);
  assert.deepEqual(page.faults, []);
});

/** A plan without what is taken over the bytes of the form. */
function plan(file) {
  const text = perchside("plan", file, "--format", "json");
  return JSON.parse(text, (key, value) => (/fingerprint/u.test(key) ? undefined : value));
}

test("the examples, opened in the form and saved, give the plan they gave before", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const names = readdirSync(join(ROOT, "examples")).filter((name) => existsSync(join(ROOT, "examples", name, "intake.yaml")));
  assert.equal(names.length, 6);
  for (const tier of ["enquiry", "intake", "visit"]) {
    const path = join(at, `form-${tier}.html`);
    writeFileSync(path, perchside("blank", "--form", "--tier", tier));
    const page = await open(on, path);
    for (const name of names) {
      const original = join(ROOT, "examples", name, "intake.yaml");
      await page.evaluate((it) => perchside.open(it), readFileSync(original, "utf8"));
      assert.deepEqual(await page.$$eval(".error", (all) => all.map((it) => it.textContent).filter(Boolean)), []);
      const saved = join(at, "intake.yaml");
      writeFileSync(saved, await page.evaluate(() => perchside.text()));
      assert.deepEqual(plan(saved), plan(original), `${name}, ${tier}`);
    }
    await page.close();
  }
});

test("the form and the program agree on which quantities and dates can be read", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const path = join(at, "form.html");
  writeFileSync(path, perchside("blank", "--form", "--tier", "visit"));
  const page = await open(on, path);
  const quantities = ["430 g", "430", "430g", "0.43 kg", "0,43 kg", "1,100 g", "1,1,0 g", "15 oz", "1 lb 2 oz", "1 lb 2", "½ lb", "1½ lb", "1 1/2 lb", "1/0 lb", "about 430 g", "approx. 430 g", "~430 g", "430 grams", "430 Grams", "430 grammes.", "430 cm", "430 stones", "-430 g", "+430 g", "4e2 g", "g", "430 g old", "1 kg and 20 g", "9 months", "2 years 3 months", "34 years old", "34", "34.5", ".5", "5.", "3 weeks", "101", "18 in", '18"', "5 ft 2 in", "5' 2\"", "7⅝ in", "1.2 m", "45 cm", "4 cubits", "x", "12 12", "1,5", "1.000,5", "50 %", "3 times", "2 x", "٣", "1 0 g", "0", "2000 g", "2001 g", "2000.0000001 g"];
  const dates = ["2026-10-03", "2026-10", "2026", "2026-11-25", "2026-11-26", "2026-12", "2027", "2026-02-29", "2024-02-29", "2026-13", "2026-00", "2026-1-1", "26-01-01", "3/10/2026", "1899", "1900", "1899-12-31", "yesterday", "2026-10-03 ", "20261003"];
  const times = ["2026-10-03 16:30", "2026-10-03T16:30:05Z", "2026-10-03, 4:30 p.m. +0100", "2026-10-03 16.30.05", "2026-10-03 16.30:05", "2026-10-03 9:05", "2026-10-03 9", "2026-10-03 9 am", "2026-10-03 0 am", "2026-10-03 24:00", "2026-10-03 16:60", "2026-10-03 23:59:60", "2026-10-03T16:30:05,5-03:30", "2026-10-03 16:30\u221203:30", "2026-10-03 16:30+14:30", "2026-10-03 16:30-12:00", "2026-10-03 16:30 +1", "2026-10-03 16:30 CET", "2026-10-03 16:30 utc", "2026-10-03 T16:30", "2026-10-03,, 16:30", "2026-10 16:30", "2026-02-30 16:30", "1899-12-31 16:30", "2026-11-25 23:59", "2026-11-26 00:00", "2026-11-26T11:59Z", "2026-11-26T12:00Z", "2026-11-27T00:30+14:00", "2026-11-27 09:00 +01:00", "20261003T1630"];
  const asked = [
    ...["case.received", "case.deadline-date", "bird.home-since"].flatMap((name) => times.map((text) => [name, text])),
    ["case.received", "2026-11-26"],
    ["case.received", "2026-10"],
    ...["bird.weight", "bird.age", "bird.homes", "housing.cage-length", "housing.bar-spacing"].flatMap((name) => quantities.map((text) => [name, text])),
    ...["bird.home-since", "case.deadline-date"].flatMap((name) => dates.map((text) => [name, text])),
  ];
  // The clock of the page stands on the day of the tests.
  await page.evaluate((day) => {
    const Real = Date;
    window.Date = class extends Real {
      constructor(...args) {
        super(...(args.length ? args : [`${day}T12:00:00`]));
      }
    };
  }, TODAY);
  const reading = ["out-of-range", "not-a-number", "unit-missing", "unit-unknown", "unit-wrong", "not-a-date", "no-such-day", "no-such-time", "date-two-ways", "date-ahead", "date-too-old"];
  const apart = [];
  const taken = { yes: 0, no: 0 };
  for (const [name, text] of asked) {
    const [group, question] = name.split(".");
    const source = `case: {deadline: other}\n${group === "case" ? `case: {deadline: other, ${question}: ${JSON.stringify(text)}}\n` : `${group}: {${question}: ${JSON.stringify(text)}}\n`}`;
    const single = group === "case" ? source.split("\n").slice(1).join("\n") : source;
    const said = await page.evaluate(
      (it, id) => {
        perchside.open(it);
        return document.getElementById(id).textContent;
      },
      single,
      `q-${group}-${question}-error`,
    );
    const file = join(at, "one.yaml");
    writeFileSync(file, single);
    const run = spawnSync(PERCHSIDE, ["--today", TODAY, "plan", file, "--format", "json"], { encoding: "utf8", maxBuffer: 1 << 27 });
    const mistakes = Array.from(run.stderr.matchAll(/^error\[([a-z0-9-]+)\]/gmu), ([, it]) => it).filter((it) => reading.includes(it));
    taken[mistakes.length === 0 ? "yes" : "no"] += 1;
    if ((said === "") !== (mistakes.length === 0)) apart.push(`${name} ${JSON.stringify(text)}: the page says “${said}”, the program ${mistakes}`);
  }
  assert.deepEqual(apart, []);
  assert.ok(taken.yes > 50 && taken.no > 50, JSON.stringify(taken));
});
