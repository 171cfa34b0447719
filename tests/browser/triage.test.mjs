// The page of ranked enquiries, as the one who opens the inbox sees it: the example, an inbox out to do harm, and an empty one.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { DESKTOP, PHONE, ROOT, axe, browser, filled, folder, open, perchside, practice, vnu } from "./browser.mjs";

const NOW = "2026-11-25T10:00";

/** Triage ends with 1 or 3 where a message wants a person; the page is written all the same. */
function triage(...args) {
  try {
    perchside("triage", "--now", NOW, ...args);
  } catch (fault) {
    assert.ok([1, 3].includes(fault.status), String(fault.stderr));
  }
}

/** What is written in the margin of every page. */
const NAME = 'name: Lantern Lane "Parrots" </style> \\\ntime-zone: Europe/Lisbon\n';

const HOSTILE = [
  "<script>window.hurt = 1</script>",
  "<img src=x onerror='window.hurt = 1'>",
  "\"><svg onload=window.hurt=1>",
  "</td></tr></table></main><form action=https://example.org><input name=x>",
  "' style='--due:-1;background:url(https://example.org/x)' class='",
  "</style><script>window.hurt=1</script>",
  "{{ 7*7 }}{% for x in y %}",
  "<!-- <iframe src=https://example.org></iframe>",
  "a\u202eb\u2066c\u200fd",
  "\u0000\u0007\u001b[31mred",
  "=cmd|' /C calc'!A1",
  "<b>&amp;&lt;</b>",
  "w".repeat(900),
  "long ".repeat(180),
];

/** Messages with the same hostile text in every field that takes text, each as it is read, and once more with a mistake in it. */
function hostile(at) {
  const schema = JSON.parse(perchside("blank", "--schema"));
  const forms = HOSTILE.flatMap((text, number) => {
    const form = filled(schema, text);
    form.case.received = `2026-11-2${number % 5}T09:${10 + number}`;
    const broken = { ...form, [text]: text, case: { ...form.case, deadline: text } };
    return [form, broken];
  });
  const path = join(at, "hostile");
  mkdirSync(path);
  writeFileSync(join(path, "messages.jsonl"), forms.map((it) => JSON.stringify(it)).join("\n"));
  const name = "<img src=x onerror=window.hurt=1>\u202e.yaml";
  writeFileSync(join(path, name.replace("/", "")), "case: {reference: <b>name of a file</b>, received: 2026-11-24}\n");
  return path;
}

/** The three pages. */
function pages(at, ...more) {
  const empty = join(at, "empty");
  mkdirSync(empty, { recursive: true });
  const inboxes = {
    example: [join(ROOT, "examples/inbox"), "--columns", join(ROOT, "examples/inbox/columns.yaml")],
    hostile: [hostile(at)],
    empty: [empty],
  };
  return Object.entries(inboxes).map(([name, args]) => {
    const page = join(at, `${name}.html`);
    triage(...args, ...more, "--out", page);
    return [name, page];
  });
}

/** Rows of the list as they stand on the screen, from top to bottom. */
function rows(page) {
  return page.$$eval("tbody tr", (all) =>
    all
      .map((row) => ({ top: row.getBoundingClientRect().top, name: row.querySelector("th strong").textContent, due: row.querySelector("time").dateTime, at: Number(row.cells[0].textContent) }))
      .sort((one, other) => one.top - other.top),
  );
}

test("the checker of HTML finds nothing on the page", async (t) => {
  const at = folder(t);
  for (const [name, path] of pages(at, "--practice", practice(at, "a4", NAME))) assert.deepEqual(vnu(readFileSync(path, "utf8"), at), [], name);
});

test("the page shuts no one out, asks for nothing, and is no wider than a phone", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const found = [];
  for (const [name, path] of pages(at)) {
    for (const [mode, viewport, scheme, media] of [
      ["light", DESKTOP, "light", "screen"],
      ["dark", DESKTOP, "dark", "screen"],
      ["print", DESKTOP, "light", "print"],
      ["phone", PHONE, "light", "screen"],
      ["dark phone", PHONE, "dark", "screen"],
    ]) {
      const page = await open(on, path, viewport);
      await page.emulateMediaType(media);
      await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]);
      found.push(...(await axe(page)).map((it) => `${name}, ${mode}: ${it}`));
      // Nor may anything inside have to be pushed aside, or be cut off.
      const wide = await page.evaluate(() =>
        [...document.querySelectorAll("html, body *:not(thead, thead *, .skip)")]
          .filter((it) => it.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5 || it.scrollWidth > it.clientWidth + 1 && getComputedStyle(it).display !== "inline")
          .map((it) => `${it.localName}.${it.className}`));
      if (wide.length) found.push(`${name}, ${mode}: too wide: ${[...new Set(wide)].join(", ")}`);
      assert.deepEqual(page.requests, [], name);
      assert.deepEqual(page.faults, [], name);
      await page.close();
    }
  }
  assert.deepEqual(found, []);
});

test("laid out as a grid or as blocks, the list is still a table to whoever does not see it", async (t) => {
  const on = await browser(t);
  const [, path] = pages(folder(t)).find(([name]) => name === "example");
  for (const viewport of [DESKTOP, PHONE]) {
    const page = await open(on, path, viewport);
    const { nodes } = await (await page.createCDPSession()).send("Accessibility.getFullAXTree");
    const count = (role) => nodes.filter((it) => !it.ignored && it.role?.value === role).length;
    const rows = await page.$$eval("tbody tr", (all) => all.length);
    assert.ok(rows > 5);
    assert.deepEqual(["table", "row", "columnheader", "rowheader", "cell"].map(count), [1, rows + 1, 6, rows, 5 * rows]);
    await page.close();
  }
});

test("hostile text stays text, and its direction ends where it ends", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const [, path] = pages(at).find(([name]) => name === "hostile");
  const page = await open(on, path);
  page.on("dialog", () => assert.fail("a dialog"));
  const seen = await page.evaluate(() => ({
    hurt: window.hurt,
    scripts: document.scripts.length,
    strange: document.querySelectorAll("iframe,object,embed,img,form,svg,b,main *[style]:not(tbody tr),*[onerror],*[onload]").length,
    tables: document.querySelectorAll("table").length,
    columns: [...new Set([...document.querySelectorAll("tbody tr")].map((it) => it.cells.length))],
    text: document.body.innerText,
    html: document.documentElement.outerHTML,
  }));
  assert.equal(seen.hurt, undefined);
  assert.equal(seen.scripts, 0);
  assert.equal(seen.strange, 0);
  assert.equal(seen.tables, 1);
  assert.deepEqual(seen.columns, [6]);
  const bare = (it) => it.replace(/[\u0000-\u001f\u007f\u200e\u200f\u202a-\u202e\u2066-\u2069\s\ufffd]/gu, "");
  const text = bare(seen.text);
  for (const it of HOSTILE.filter((it) => !/[\u0000\u202e]/u.test(it))) assert.ok(text.includes(bare(it).slice(0, 30)), `lost ${it.slice(0, 40)}`);
  assert.ok(text.includes("<b>nameofafile</b>"));
  // What turns text round does not reach what stands after it.
  const turned = await page.evaluate(() => {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const turned = [];
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      let depth = 0;
      for (const sign of node.data) {
        if (/[\u202a\u202b\u202d\u202e\u2066-\u2068]/u.test(sign)) depth += 1;
        if (/[\u202c\u2069]/u.test(sign)) depth -= 1;
      }
      if (depth > 0) turned.push(node.data.slice(0, 80));
    }
    return turned;
  });
  assert.deepEqual(turned, []);
});

test("keyboard: every order is a stop of arrow keys, and sorts what is seen", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const [, path] = pages(at).find(([name]) => name === "example");
  for (const viewport of [DESKTOP, PHONE]) {
    const page = await open(on, path, viewport);
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.className), "skip");
    await page.keyboard.press("Enter");
    assert.equal(await page.evaluate(() => document.activeElement.id), "list");
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.id), "order-rank");
    const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle);
    assert.notEqual(outline, "none", "the focus can be seen");
    const ranked = await rows(page);
    assert.deepEqual(ranked.map((it) => it.at), ranked.map((_, at) => at + 1));
    const orders = {};
    for (const id of ["order-due", "order-risk", "order-wait", "order-name"]) {
      await page.keyboard.press("ArrowDown");
      assert.equal(await page.evaluate(() => document.querySelector(":checked").id), id);
      orders[id] = await rows(page);
      assert.deepEqual(orders[id].map((it) => it.at).sort(), ranked.map((it) => it.at).sort());
    }
    const sorted = (all, key) => [...all].sort((one, other) => (key(one) < key(other) ? -1 : key(one) > key(other) ? 1 : one.at - other.at));
    const ats = (all) => all.map((it) => it.at);
    assert.deepEqual(ats(orders["order-due"]), ats(sorted(ranked, (it) => Date.parse(it.due))));
    assert.deepEqual(ats(orders["order-name"]), ats(sorted(ranked, (it) => it.name.toLowerCase())));
    const row = (order, name) => orders[order].findIndex((it) => it.name === name);
    // Severe for certain comes before what is only perhaps; who wrote on Saturday has waited longest.
    assert.equal(row("order-risk", "quay-31"), 0);
    assert.equal(row("order-wait", "quay-31"), 0);
    await page.close();
  }
});

for (const paper of ["a4", "letter"]) {
  test(`the list prints on ${paper}, lying, without a row cut in two`, async (t) => {
    const at = folder(t);
    const on = await browser(t);
    for (const [name, path] of pages(at, "--practice", practice(at, paper, NAME))) {
      if (name === "hostile") continue;
      for (const order of name === "example" ? ["order-rank", "order-wait"] : [null]) {
        const page = await open(on, path);
        if (order) await page.click(`#${order}`);
        // Each row is told apart by its first word and its last; both have to stand on one side.
        const count = await page.$$eval("tbody tr", (all) => {
          all.forEach((row, at) => {
            row.cells[2].prepend(`first-${at} `);
            row.cells[2].append(` last-${at}.`);
            row.cells[5].append(`end-${at}.`);
          });
          return all.length;
        });
        const pdf = join(at, `${name}-${order}.pdf`);
        await page.pdf({ path: pdf, preferCSSPageSize: true });
        const size = execFileSync("pdfinfo", [pdf], { encoding: "utf8" }).match(/Page size:\s+([\d.]+) x ([\d.]+)/);
        const [wide, high] = paper === "a4" ? [842, 595] : [792, 612];
        assert.ok(Math.abs(size[1] - wide) < 1.5 && Math.abs(size[2] - high) < 1.5, size[0]);
        const sides = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" }).split("\f").filter((it) => it.trim());
        for (let row = 0; row < count; row += 1) {
          const side = (word) => sides.findIndex((it) => it.includes(word));
          assert.ok(side(`first-${row} `) >= 0 && side(`first-${row} `) === side(`last-${row}.`) && side(`first-${row} `) === side(`end-${row}.`), `${name}, ${order}: row ${row}`);
        }
        for (const [at, side] of sides.entries()) {
          assert.match(side, /Lantern Lane "Parrots" <\/style> \\/);
          assert.match(side, new RegExp(`${at + 1} ?/ ?${sides.length}`));
          // In the order it comes in, the head of the table stands on every side that has rows.
          if (order === "order-rank" && /first-\d/.test(side)) assert.match(side, /Reply by +Enquiry +Risk +Why +Ask first/);
        }
        if (order) assert.match(sides[0], order === "order-rank" ? /Order: +Most urgent first/ : /Order: +Longest waiting first/);
        await page.close();
      }
    }
  });
}
