// Every paper of every example, as a person sees it: checked, printed, and looked at by a machine that looks for what shuts people out.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join } from "node:path";
import { test } from "node:test";
import { fleschKincaid } from "flesch-kincaid";
import { syllable } from "syllable";
import { DESKTOP, PHONE, ROOT, axe, browser, filled, folder, open, perchside, practice } from "./browser.mjs";

const require = createRequire(import.meta.url);
const examples = readdirSync(join(ROOT, "examples"), { withFileTypes: true })
  .filter((it) => it.isDirectory() && readdirSync(join(ROOT, "examples", it.name)).includes("intake.yaml"))
  .map((it) => it.name)
  .sort();
const logs = readdirSync(join(ROOT, "examples/logs"), { withFileTypes: true }).filter((it) => it.isDirectory()).map((it) => it.name);

/** Papers that are one side, or at most so many. */
const SIDES = { "door-sign": 1, "stop-card": 1, "if-it-goes-wrong": 1, "holding-rules": 1, "hand-over": 1, "visit-sheet": 1, "vet-letter": 2, "sitter-file": 2 };

/** All HTML files below a folder. */
function pages(at) {
  return readdirSync(at, { recursive: true }).filter((it) => it.endsWith(".html")).sort().map((it) => join(at, it));
}

/** The papers of an example, in a folder of their own. */
function papers(at, name, ...more) {
  const out = join(at, `${name}${more.join("").replace(/[^a-z0-9]/gi, "")}`);
  perchside("plan", join(ROOT, "examples", name, "intake.yaml"), "--out", out, ...more);
  return out;
}

/** What the Nu Html Checker says of all files below a folder: errors and warnings, a line each. */
function checker(at) {
  const args = ["-Xss4m", "-Dfile.encoding=UTF-8", "-jar", require.resolve("vnu-jar/build/dist/vnu.jar"), "--exit-zero-always", "--stdout", "--format", "json", "--skip-non-html", at];
  const out = execFileSync("java", args, { encoding: "utf8", maxBuffer: 1 << 27, stdio: ["ignore", "pipe", "pipe"] });
  return JSON.parse(out).messages.map((it) => `${it.url.split("/").slice(-3).join("/")}: ${it.type}: ${it.message} at line ${it.lastLine}`);
}

/** How many pages a page prints on, on the sheet its own style asks for. */
async function printed(page) {
  const pdf = Buffer.from(await page.pdf({ preferCSSPageSize: true })).toString("latin1");
  return pdf.match(/\/Type\s*\/Page\b(?!s)/g).length;
}

test("the checker of HTML finds nothing in any paper, in either language", (t) => {
  const at = folder(t);
  for (const name of examples) {
    papers(at, name);
    papers(at, name, "--language", "es");
  }
  for (const log of logs) {
    // A review that presses ends with another status; its pages are written all the same.
    try {
      perchside("review", join(ROOT, "examples/logs/form.yaml"), join(ROOT, "examples/logs", log, "log.yaml"), "--out", join(at, `review-${log}`));
    } catch (fault) {
      assert.equal(fault.status, 3);
    }
  }
  assert.ok(pages(at).length > 200, String(pages(at).length));
  assert.deepEqual(checker(at), []);
});

for (const [mode, viewport, features, media] of [
  ["light", DESKTOP, [{ name: "prefers-color-scheme", value: "light" }], "screen"],
  ["dark", DESKTOP, [{ name: "prefers-color-scheme", value: "dark" }], "screen"],
  ["print", DESKTOP, [{ name: "prefers-color-scheme", value: "light" }], "print"],
  ["phone", PHONE, [{ name: "prefers-color-scheme", value: "light" }], "screen"],
]) {
  test(`no paper shuts anyone out: ${mode}`, async (t) => {
    const at = folder(t);
    const on = await browser(t);
    const found = [];
    for (const name of examples) {
      for (const path of pages(papers(at, name, ...(name === examples[0] ? ["--language", "es"] : [])))) {
        // One card out of all is enough: they are filled from one template.
        if (/card-[B-Z]\.html$/.test(path)) continue;
        const page = await open(on, path, viewport);
        await page.emulateMediaType(media);
        await page.emulateMediaFeatures(features);
        found.push(...(await axe(page)).map((it) => `${name}/${basename(path)}: ${it}`));
        if (mode === "phone") {
          const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
          if (wide > 0) found.push(`${name}/${basename(path)}: ${wide} px too wide for a phone`);
        }
        assert.deepEqual(page.requests, [], path);
        assert.deepEqual(page.faults, [], path);
        await page.close();
      }
    }
    assert.deepEqual(found, []);
  });
}

for (const paper of ["a4", "letter"]) {
  test(`what has to be one side is one side on ${paper}`, async (t) => {
    const at = folder(t);
    const plain = practice(at, paper);
    const on = await browser(t);
    const found = [];
    for (const name of examples) {
      for (const language of ["en", "es"]) {
        const out = papers(at, name, "--practice", plain, "--language", language);
        const count = async (file, only) => {
          const page = await open(on, join(out, file));
          // The part that has to fit, printed without what comes after it.
          if (only) await page.addStyleTag({ content: `main > :not(${only}) { display: none !important; }` }).catch(() => page.evaluate((only) => document.querySelectorAll(`main > :not(${only})`).forEach((it) => it.remove()), only));
          const sides = await printed(page);
          await page.close();
          return sides;
        };
        const expect = async (file, most, only) => {
          const sides = await count(file, only);
          if (sides > most) found.push(`${name} ${language}: ${file}${only ? ` ${only}` : ""} takes ${sides} sides, not ${most}`);
        };
        await expect("household/household.html", 1, ".first-page");
        const cards = readdirSync(join(out, "household")).filter((it) => /^card-[A-Z]+\.html$/.test(it));
        for (const card of cards) await expect(`household/${card}`, 1);
        if (cards.length) await expect("household/cards.html", cards.length);
        for (const [file, most] of Object.entries(SIDES)) {
          const where = readdirSync(join(out, "household")).includes(`${file}.html`) ? "household" : "professional";
          // Large print takes a side more where a paper is more than one side.
          const large = most > 1 && readFileSync(join(out, where, `${file}.html`), "utf8").includes('id="large-print" checked') ? 1 : 0;
          await expect(`${where}/${file}.html`, most + large);
        }
      }
    }
    assert.deepEqual(found, []);
  });
}

test("large print is larger, on screen and on paper, and no words are lost", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, join(papers(at, examples[0]), "household/household.html"));
  const height = () => page.evaluate(() => document.querySelector("main").getBoundingClientRect().height);
  const before = [await height(), await printed(page)];
  await page.focus("#large-print");
  await page.keyboard.press("Space");
  const after = [await height(), await printed(page)];
  assert.ok(after[0] > before[0] * 1.2 && after[1] > before[1], `${before} ${after}`);
  const asked = await open(on, join(papers(at, examples[1], "--large-print"), "household/household.html"));
  assert.equal(await asked.$eval("#large-print", (it) => it.checked), true);
});

test("keyboard: the first stop leads past the head of the page, and the focus can be seen", async (t) => {
  const on = await browser(t);
  const page = await open(on, join(papers(folder(t), examples[0]), "household/household.html"));
  await page.keyboard.press("Tab");
  const skip = await page.evaluate(() => ({ text: document.activeElement.className, left: document.activeElement.getBoundingClientRect().left }));
  assert.equal(skip.text, "skip");
  assert.ok(skip.left >= 0, "it comes into view");
  await page.keyboard.press("Enter");
  assert.equal(await page.evaluate(() => document.activeElement.id), "paper");
});

test("every page of a draft says so, and names the case", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, join(papers(at, "evening-conure"), "household/household.html"));
  const pdf = join(at, "plan.pdf");
  await page.pdf({ path: pdf, preferCSSPageSize: true });
  const text = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" });
  const sides = text.split("\f").filter((it) => it.trim());
  assert.ok(sides.length > 2);
  for (const [at, side] of sides.entries()) {
    assert.match(side, /DRAFT/);
    assert.match(side, /lamp-21/);
    assert.match(side, new RegExp(`${at + 1} ?/ ?${sides.length}`));
  }
});

const HOSTILE = [
  "<script>window.hurt = 1</script>",
  "<img src=x onerror='window.hurt = 1'>",
  "\"><svg onload=window.hurt=1>",
  "{{ 7*7 }}{% for x in y %}",
  "[x](javascript:window.hurt=1)",
  "![x](data:text/html,<script>window.hurt=1</script>)",
  "</style><script>window.hurt=1</script>",
  "a\u202eb\u2066c",
  `${"x".repeat(4990)} ${"y".repeat(4990)}`,
];

test("hostile text in every field is text in every paper, and no script runs", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const schema = JSON.parse(perchside("blank", "--schema"));
  for (const [number, text] of HOSTILE.entries()) {
    const form = filled(schema, text);
    const path = join(at, `hostile-${number}.yaml`);
    writeFileSync(path, JSON.stringify(form));
    const out = join(at, `hostile-${number}`);
    try {
      perchside("plan", path, "--names", "--out", out);
    } catch (fault) {
      // A text too long to be an answer is refused with its place; nothing is written.
      assert.equal(text.length > 4000, true, String(fault.stderr));
      assert.match(String(fault.stderr), /error\[/);
      continue;
    }
    for (const file of pages(out)) {
      const page = await open(on, file);
      page.on("dialog", () => assert.fail("a dialog"));
      const seen = await page.evaluate(() => ({ hurt: window.hurt, text: document.body.innerText, scripts: document.scripts.length, frames: document.querySelectorAll("iframe,object,embed,img,form").length }));
      assert.equal(seen.hurt, undefined, file);
      assert.equal(seen.scripts, 0);
      assert.equal(seen.frames, 0);
      assert.deepEqual(page.requests, [], file);
      if (/household\.html$/.test(file)) {
        // Names stand in the title; a name of ten thousand letters is looked for by its start.
        const bare = (it) => it.replace(/[\u2066-\u2069\s]/gu, "");
        assert.ok(bare(seen.text).includes(bare(text).slice(0, 60)), `${file} lost ${text.slice(0, 40)}`);
      }
      await page.close();
    }
  }
});

/** The words of a Markdown paper, sentence by sentence; tables and lists are sentences of their own. */
function sentences(markdown) {
  return markdown
    .split("\n")
    .filter((line) => !/^\|[-| ]+\|$/.test(line))
    .flatMap((line) => line.replace(/^[#>\s\d.☐-]+/u, "").split("|"))
    .map((cell) => cell.replace(/&#10;/g, " ").replace(/[*_\\☐]/gu, "").replace(/\.{3,}/g, " ").trim())
    .filter((cell) => /[a-z]{2}/i.test(cell))
    .flatMap((cell) => cell.split(/(?<=[.!?:])\s+/u))
    .map((it) => it.match(/[\p{L}\p{N}'’]+/gu)?.filter((word) => /\p{L}/u.test(word)) ?? [])
    .filter((words) => words.length > 0);
}

test("household papers read at grade 6 or below, by a general-purpose library", (t) => {
  const at = folder(t);
  const found = [];
  let highest = 0;
  for (const name of examples) {
    const out = join(papers(at, name), "household");
    for (const file of readdirSync(out).filter((it) => it.endsWith(".md") && !it.startsWith("card-"))) {
      const text = readFileSync(join(out, file), "utf8");
      // The household's own words, and the record foot, are not ours to shorten.
      const own = text.split("\n").filter((line) => !/^\| (What you wish for|What would be good enough|Kind of bird|Rules|Form|Program|Case) \|/.test(line)).join("\n");
      const lines = sentences(own);
      const words = lines.flat();
      const grade = fleschKincaid({ sentence: lines.length, word: words.length, syllable: words.reduce((sum, word) => sum + syllable(word), 0) });
      highest = Math.max(highest, grade);
      if (grade > 6) found.push(`${name}/${file}: ${grade.toFixed(2)}`);
    }
  }
  t.diagnostic(`highest grade ${highest.toFixed(2)}`);
  assert.deepEqual(found, []);
});
