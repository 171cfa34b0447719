// The form as a person has it: what it looks like to a checker, what it keeps, what it shows and hides, and what it sends.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { fleschKincaid } from "flesch-kincaid";
import { syllable } from "syllable";
import { DESKTOP, PHONE, ROOT, axe, browser, folder, open, perchside, vnu } from "./browser.mjs";

const TIERS = ["enquiry", "intake", "visit"];

function written(at, tier = "intake") {
  const path = join(at, `form-${tier}.html`);
  writeFileSync(path, perchside("blank", "--form", "--tier", tier));
  return path;
}

const text = (page) => page.evaluate(() => perchside.text());
const opened = (page, yaml) => page.evaluate((it) => perchside.open(it), yaml);

/** Sets the control of a question as a person would leave it. */
const answer = (page, selector, value) =>
  page.$eval(
    selector,
    (control, to) => {
      if (control.type === "radio" || control.type === "checkbox") control.checked = true;
      else control.value = to;
      control.dispatchEvent(new Event("input", { bubbles: true }));
      control.dispatchEvent(new Event("change", { bubbles: true }));
    },
    value,
  );

test("nothing is wrong with the page in the eyes of the checkers", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const full = readFileSync(join(ROOT, "examples/night-shift-cockatoo/intake.yaml"), "utf8");
  // The checkers find what there is to find.
  assert.match(vnu("<!doctype html><html lang=en><title>x</title><p id=a><div id=a></div>", at).join(), /Duplicate ID/);
  const bad = await on.newPage();
  await bad.setContent("<html><body><input><img src=x></body></html>");
  assert.ok((await axe(bad)).length >= 3);
  await bad.close();
  for (const tier of TIERS) {
    const path = written(at, tier);
    assert.deepEqual(vnu(readFileSync(path, "utf8"), at), [], `${tier}: the file`);
  }
  const path = written(at);
  const looks = {
    light: [DESKTOP, {}],
    dark: [DESKTOP, { "prefers-color-scheme": "dark" }],
    contrast: [DESKTOP, { "prefers-contrast": "more" }],
    "dark contrast": [DESKTOP, { "prefers-contrast": "more", "prefers-color-scheme": "dark" }],
    "forced colours": [DESKTOP, { "forced-colors": "active" }],
    phone: [PHONE, {}],
    "phone dark": [PHONE, { "prefers-color-scheme": "dark" }],
    print: [DESKTOP, {}, "print"],
  };
  for (const [name, [viewport, features, media]] of Object.entries(looks)) {
    const page = await open(on, path, viewport);
    const faked = Object.entries(features);
    for (const [feature, value] of faked.filter(([feature]) => feature === "prefers-contrast" || feature === "forced-colors")) {
      const session = await page.createCDPSession();
      await session.send("Emulation.setEmulatedMedia", { features: faked.map(([key, to]) => ({ name: key, value: to })) });
      assert.ok(await page.evaluate((it, to) => matchMedia(`(${it}: ${to})`).matches, feature, value), name);
    }
    if (features["prefers-color-scheme"] && faked.length === 1) {
      await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: features["prefers-color-scheme"] }]);
    }
    if (media) await page.emulateMediaType(media);
    for (const yaml of ["", `${full}\n`]) {
      if (yaml) await opened(page, yaml.replace("1.3 lb", "1.3 cubits"));
      await page.$$eval("details", (all) => all.forEach((it) => { it.open = true; }));
      assert.deepEqual(await axe(page), [], `${name}${yaml ? ", filled in" : ""}`);
    }
    assert.deepEqual(page.faults, []);
    assert.deepEqual(page.requests, []);
    if (name === "light") {
      const html = `<!doctype html>${await page.evaluate(() => document.documentElement.outerHTML)}`;
      assert.deepEqual(vnu(html, at), [], "the page with a form in it");
    }
    await page.close();
  }
});

test("nothing hangs over the edge at 320 pixels, nor in large print", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at), { ...PHONE, width: 320, height: 640 });
  await opened(page, readFileSync(join(ROOT, "examples/night-shift-cockatoo/intake.yaml"), "utf8"));
  for (const large of [false, true]) {
    if (large) await page.$eval("[data-act=large]", (it) => it.click());
    await page.$$eval("details", (all) => all.forEach((it) => { it.open = true; }));
    const wide = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
    assert.equal(wide[0], 320, `large print: ${large}`);
    const small = await page.$$eval("button, summary, .option, select, .value, nav a", (all) =>
      all.filter((it) => it.checkVisibility() && it.getBoundingClientRect().height < 24).map((it) => it.outerHTML.slice(0, 80)),
    );
    assert.deepEqual(small, []);
  }
  assert.equal(await page.$eval("[data-act=large]", (it) => it.getAttribute("aria-pressed")), "true");
});

test("a reload keeps every answer, and clearing takes them all away after one more question", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  await opened(page, readFileSync(join(ROOT, "examples/handbag-lovebird/intake.yaml"), "utf8"));
  await answer(page, "#q-bird-name-in", "Tuppence \u202e<b>\n");
  await answer(page, "#q-bird-flight input[data-unknown]");
  await page.$eval("[data-act=large]", (it) => it.click());
  const before = await text(page);
  assert.match(before, /Tuppence \\u202e<b>/);
  assert.match(before, /flight: unknown/);
  await page.reload();
  assert.equal(await text(page), before);
  assert.ok(await page.$eval("html", (it) => it.classList.contains("large")));

  await page.$eval("[data-act=clear]", (it) => it.click());
  await page.$eval("[data-act=sure-no]", (it) => it.click());
  assert.equal(await text(page), before, "asked, and not cleared");
  await page.$eval("[data-act=clear]", (it) => it.click());
  await page.$eval("[data-act=sure-yes]", (it) => it.click());
  const empty = await text(page);
  assert.doesNotMatch(empty, /^[a-z]/mu);
  assert.equal(await page.$$eval("input:checked, .block", (all) => all.length), 0);
  await page.reload();
  assert.equal(await text(page), empty);
  assert.equal(await page.evaluate(() => Object.keys(localStorage).filter((key) => !key.includes("large")).length), 0);
});

test("a browser that keeps nothing is told of", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const path = written(at);
  const page = await on.newPage();
  await page.evaluateOnNewDocument(() => {
    Object.defineProperty(window, "localStorage", { get() { throw new DOMException("no", "SecurityError"); } });
  });
  await page.goto(`file://${path}`);
  await answer(page, "#q-bird-name-in", "Pip");
  assert.match(await page.$eval("#kept", (it) => it.textContent), /cannot keep/);
  assert.match(await text(page), /name: Pip/);
});

test("a question that hangs on another shows and hides, and keeps its answer", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  const seen = (id) => page.$eval(id, (it) => it.checkVisibility());
  const count = () => page.$eval("#count", (it) => Number(/of (\d+)/.exec(it.textContent)[1]));
  const date = "#q-case-deadline-date";
  assert.equal(await seen(date), false);
  const all = await count();
  await answer(page, '#q-case-deadline input[value="other"]');
  assert.equal(await seen(date), true);
  assert.equal(await count(), all + 1);
  await answer(page, `${date}-in`, "2027-01");
  assert.match(await text(page), /deadline-date: 2027-01/);
  await answer(page, '#q-case-deadline input[value="none"]');
  assert.equal(await seen(date), false);
  assert.doesNotMatch(await text(page), /deadline-date/);
  await answer(page, "#q-case-deadline input[data-unknown]");
  assert.equal(await seen(date), true, "what nobody knows may be so");
  assert.match(await text(page), /deadline-date: 2027-01/);

  await page.$eval("#part-bites [data-act=add]", (it) => it.click());
  const bite = await page.$eval("#part-bites .block", (it) => it.dataset.number);
  const wound = `#q-bites-${bite}-wound`;
  for (const [injury, shown] of [["bruise", false], ["broken-skin", true], ["lasting-harm", true], ["none", false]]) {
    await answer(page, `#q-bites-${bite}-injury input[value="${injury}"]`);
    assert.equal(await seen(wound), shown, injury);
  }
  await answer(page, '#q-health-feather-damage input[value="none"]');
  assert.equal(await seen("#q-health-feather-damage-seen"), false);
});

test("the page says what does not look right, and saves it only when asked again", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  const says = async (id, value, words) => {
    await answer(page, `${id}-in`, value);
    assert.match(await page.$eval(`${id}-error`, (it) => it.textContent), words, value);
    assert.match(await page.$eval("#heard[role=status]", (it) => it.textContent), words, value);
  };
  await says("#q-bird-home-since", "3/10/2026", /does not read as a date/);
  await says("#q-bird-home-since", "2026-02-30", /no such day/);
  await says("#q-bird-home-since", "2999", /not come yet/);
  await says("#q-bird-home-since", "1850-01", /too long ago/);
  await says("#q-bird-home-since", "2024-02-29", /^$/);
  await says("#q-bird-weight", "430", /Choose a unit/);
  await says("#q-bird-weight", "430 cm", /“cm” is not a unit/);
  await says("#q-bird-weight", "430 kg", /cannot be right.*10 g to 2000 g/);
  await says("#q-bird-weight", "heavy", /not read as a number/);
  for (const good of ["430 g", "1 lb 2 oz", "15½ oz", "about 0.4 kg", "1,100 g", "0,4 kg"]) await says("#q-bird-weight", good, /^$/);
  await says("#q-bird-age", "9 months", /^$/);
  await says("#q-bird-age", "900", /cannot be right/);
  assert.equal(await page.$eval("#q-bird-age-in", (it) => it.getAttribute("aria-invalid")), "true");
  assert.match(await page.$eval("#q-bird-age-in", (it) => it.getAttribute("aria-describedby")), /q-bird-age-error/);
  await page.$eval("[data-act=save]", (it) => it.click());
  assert.equal(await page.$eval("#saved", (it) => it.textContent), "");
  assert.deepEqual(await page.$$eval("#look li a", (all) => all.map((it) => it.hash)), ["#q-bird-age"]);
  await page.$eval("[data-act=save-anyway]", (it) => it.click());
  assert.match(await page.$eval("#saved", (it) => it.textContent), /intake.yaml/);
});

test("a unit beside the number goes into the file, and numbers read as the program reads them", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  await answer(page, "#q-housing-cage-length-in", "18");
  await answer(page, "#q-housing-cage-length .unit", "in");
  await answer(page, "#q-bird-age-in", "9");
  await answer(page, "#q-bird-homes-in", "2");
  const yaml = await text(page);
  assert.match(yaml, /cage-length: 18 in\n/);
  assert.match(yaml, /age: 9 years\n/);
  assert.match(yaml, /homes: 2\n/);
});

test("blocks come and go, can be put back, and say none at all or don't know", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  const act = (selector) => page.$eval(selector, (it) => it.click());
  await answer(page, '#whole-animals input[data-whole="none"]');
  assert.match(await text(page), /^animals: \[\]$/mu);
  await answer(page, '#whole-weights input[data-whole="unknown"]');
  assert.match(await text(page), /^weights: unknown$/mu);
  await act("#part-people [data-act=add]");
  await act("#part-people [data-act=add]");
  const [one, two] = await page.$$eval("#part-people .block", (all) => all.map((it) => it.dataset.number));
  await answer(page, `#q-people-${one}-name-in`, "Ana");
  await answer(page, `#q-people-${two}-name-in`, "Bo");
  assert.deepEqual(await page.$$eval("#names option", (all) => all.map((it) => it.value)), ["Ana", "Bo"]);
  assert.deepEqual(await page.$$eval("#part-people h3", (all) => all.map((it) => it.textContent)), ["Person 1: Ana", "Person 2: Bo"]);
  const before = await text(page);
  await act("#part-people .block [data-act=remove]");
  assert.doesNotMatch(await text(page), /Ana/);
  assert.equal(await page.evaluate(() => document.activeElement.textContent), "Put it back");
  await act("#part-people .gone button");
  assert.equal(await text(page), before);
  await answer(page, `#q-people-${two}-name-in`, "Ana");
  assert.match(await page.$eval(`#q-people-${two}-name-error`, (it) => it.textContent), /Two people/);
});

test("the choice that stands alone shuts out the others", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  const flags = (id) => `#q-bird-limits input[value="${id}"]`;
  await answer(page, flags("hearing"));
  await answer(page, flags("sight left"));
  assert.match(await text(page), /limits: \[sight left, hearing\]/);
  await answer(page, flags("none"));
  assert.match(await text(page), /limits: \[none\]/);
  await answer(page, "#q-bird-limits input[data-unknown]");
  assert.match(await text(page), /limits: unknown/);
  await answer(page, flags("leg or foot"));
  assert.match(await text(page), /limits: \[leg or foot\]/);
  await page.$eval("#q-bird-limits .back", (it) => it.click());
  assert.doesNotMatch(await text(page), /limits/);
});

test("what is no form is refused with a plain sentence, and the answers stay", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  await answer(page, "#q-bird-name-in", "Pip");
  const before = await text(page);
  const cases = {
    "bird: &a {name: x}\ncase: *a\n": /signs & or \*/,
    "bird: *a\n": /signs & or \*|Line 1/,
    "bird: {name: !!str x}\n": /sign !/,
    "bird:\n  name: a\n  name: b\n": /“name” is written two times/,
    "bird: {}\n---\nbird: {}\n": /more than one form/,
    "bird:\n\tname: x\n": /Line 2/,
    "- a\n- b\n": /does not look like this form/,
    "bird: 12\n": /“bird” should have its answers/,
    "people: Ana\n": /“people” should be a list/,
    "people:\n  - Ana\n": /Block 1 of the part “people”/,
    "": /nothing in it/,
    "\u0000\u0001": /Line|form/,
  };
  for (const [yaml, words] of Object.entries(cases)) {
    const path = join(at, "other.yaml");
    writeFileSync(path, yaml);
    const input = await page.$("#file");
    await input.uploadFile(path);
    await page.$eval("[data-act=sure-yes]", (it) => it.click());
    await page.waitForFunction(() => document.activeElement.id === "notice");
    const said = await page.$eval("#notice", (it) => it.textContent);
    assert.match(said, words, JSON.stringify(yaml));
    assert.equal(await text(page), before);
    await page.$eval("#notice", (it) => { it.replaceChildren(); it.blur(); });
  }
  writeFileSync(join(at, "wide.yaml"), Buffer.from("\ufeffbird: {name: x}", "utf16le"));
  await (await page.$("#file")).uploadFile(join(at, "wide.yaml"));
  await page.$eval("[data-act=sure-yes]", (it) => it.click());
  await page.waitForFunction(() => document.activeElement.id === "notice");
  assert.match(await page.$eval("#notice", (it) => it.textContent), /plain text/);
  assert.deepEqual(page.faults, []);
});

test("parts and questions that the form does not show are kept and written back", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at, "enquiry"));
  const yaml = "# a note\nbird:\n  species: cockatiel\n  wingspan: 40 cm\n  shoe: {size: [1, 2.50, x y], when: 2026-01-02}\nroom: {width: 4 m}\npeople:\n  - age: 9\n    eye-height: 110 cm\n  - unknown\nvisits:\n  - notice: none\n";
  const said = await opened(page, yaml);
  assert.ok(said.some((line) => /does not show/.test(line)));
  const saved = await text(page);
  for (const line of ["wingspan: 40 cm", "shoe: {size: [1, 2.50, x y], when: 2026-01-02}", "room: {width: 4 m}", "eye-height: 110 cm", "eye-height: unknown", "visits: [{notice: none}]"]) {
    assert.ok(saved.includes(line), `${line}\n${saved}`);
  }
  await opened(page, saved);
  assert.equal(await text(page), saved);
});

test("an answer that does not fit is marked, kept, and gone once another is given", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  await opened(page, "bird: {size: enormous, limits: [none, hearing], flight: {a: b}}\n");
  assert.match(await page.$eval("#q-bird-size-error", (it) => it.textContent), /“enormous”/);
  const kept = await text(page);
  for (const line of ["size: enormous", "limits: [none, hearing]", "flight: {a: b}"]) assert.ok(kept.includes(line), kept);
  await answer(page, '#q-bird-size input[value="large"]');
  assert.match(await text(page), /size: large/);
  assert.equal(await page.$eval("#q-bird-size-error", (it) => it.textContent), "");
});

const HOSTILE = [
  "<script>window.ran = 1</script>",
  "<img src=x onerror='window.ran = 1'>",
  "</script><script>window.ran = 1</script>",
  "{{ 7 * 7 }} {% include 'x' %} {# y #}",
  "javascript:window.ran = 1",
  "abc\u202edef\u2066ghi",
  "\"'`\\ # : - & * ! | > % @ , [ ] { }",
  "x".repeat(10_000),
  "[{".repeat(5_000),
  "line one\nline two\r\n\ttab\u0000\u0085\u2028\ufeff\ud800",
];

test("hostile text is text: in every field, in a file, after a reload, and in the plan", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  for (const bad of HOSTILE) {
    await page.evaluate(() => perchside.open(""));
    await page.$eval("#part-people [data-act=add]", (it) => it.click());
    await page.$eval("#part-bites [data-act=add]", (it) => it.click());
    const fields = await page.$$eval("input.value:not(.short), textarea.value", (all, value) => all.map((it) => {
      it.value = value;
      it.dispatchEvent(new Event("input", { bubbles: true }));
      it.dispatchEvent(new Event("change", { bubbles: true }));
      return it.id;
    }), bad);
    assert.ok(fields.length >= 10);
    const yaml = await text(page);
    await page.reload();
    assert.equal(await text(page), yaml);
    await opened(page, yaml);
    assert.equal(await text(page), yaml);
    await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
    assert.equal(await page.evaluate(() => window.ran), undefined);
    assert.equal(await page.$$eval("main script, main img, main style, main b", (all) => all.length), 0);
    const path = join(at, "hostile.yaml");
    writeFileSync(path, yaml);
    const plan = JSON.parse(perchside("plan", path, "--format", "json"));
    assert.ok(plan, bad.slice(0, 40));
  }
  assert.deepEqual(page.requests, []);
  assert.deepEqual(page.faults, []);
});

test("a file with hostile names in it opens and runs nothing", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  await opened(page, '"__proto__": {polluted: yes}\nconstructor: {prototype: {polluted: yes}}\nbird: {"__proto__": {polluted: yes}, "<img src=x onerror=window.ran=1>": x, name: "<img src=x onerror=window.ran=1>"}\n');
  const saved = await text(page);
  assert.ok(saved.includes('"__proto__": {polluted: "yes"}') || saved.includes('"__proto__": {polluted: yes}'), saved);
  assert.deepEqual(await page.evaluate(() => [typeof {}.polluted, typeof window.ran]), ["undefined", "undefined"]);
  await opened(page, saved);
  assert.equal(await text(page), saved);
});

test("the page's own policy lets nothing in and nothing out", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  const got = await page.evaluate(async () => {
    const blocked = [];
    addEventListener("securitypolicyviolation", (event) => blocked.push(event.effectiveDirective));
    const script = document.createElement("script");
    script.textContent = "window.ran = 1";
    document.body.append(script);
    const image = document.createElement("img");
    image.src = "data:image/gif;base64,R0lGODlhAQABAAAAACw=";
    document.body.append(image);
    const fetched = await fetch("data:text/plain,x").then(() => "let through", () => "held back");
    await new Promise((done) => setTimeout(done, 200));
    return { ran: typeof window.ran, fetched, blocked: blocked.map((it) => it.replace("-elem", "")).sort() };
  });
  assert.deepEqual(got, { ran: "undefined", fetched: "held back", blocked: ["connect-src", "img-src", "script-src"] });
});

test("paper has boxes and lines, the answers given so far, and empty blocks to fill in", async (t) => {
  const at = folder(t);
  const on = await browser(t);
  const page = await open(on, written(at));
  await answer(page, "#q-bird-name-in", "Pip");
  await page.emulateMediaType("print");
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  assert.equal(await page.$eval("#q-bird-name .line", (it) => `${it.textContent} ${it.checkVisibility()}`), "Pip true");
  assert.equal(await page.$$eval("#part-bites .block", (all) => all.filter((it) => it.checkVisibility()).length), 2);
  assert.ok(await page.$eval("#part-bites .boxes li", (it) => it.checkVisibility()));
  assert.equal(await page.$eval("#q-case-deadline-date", (it) => it.checkVisibility()), true);
  assert.equal(await page.$$eval("button, select, .value, nav", (all) => all.filter((it) => it.checkVisibility()).length), 0);
  assert.equal(await page.$$eval(".q", (all) => all.filter((it) => getComputedStyle(it).breakInside !== "avoid").length), 0);
  await page.evaluate(() => dispatchEvent(new Event("afterprint")));
  assert.equal(await page.$$eval("#part-bites .block", (all) => all.length), 0);
});

test("the library in the page is the one that is named", () => {
  const kept = readFileSync(join(ROOT, "templates/form/vendor/js-yaml.umd.min.js"), "utf8");
  const named = readFileSync(new URL("node_modules/js-yaml/dist/browser/js-yaml.umd.min.js", import.meta.url), "utf8");
  const { version } = JSON.parse(readFileSync(new URL("node_modules/js-yaml/package.json", import.meta.url), "utf8"));
  assert.equal(kept, named);
  assert.ok(readFileSync(join(ROOT, "templates/form/words.json"), "utf8").includes(`js-yaml ${version}`));
});

test("what the form says of itself reads at US grade 6 or below", () => {
  const words = JSON.parse(readFileSync(join(ROOT, "templates/form/words.json"), "utf8"));
  const sentences = Object.values(words)
    .filter((it) => it.includes(" ") && !it.includes("js-yaml"))
    .flatMap((it) => it.split(/(?<=[.?!:])\s+/u));
  const all = sentences.flatMap((it) => it.match(/[\p{L}\p{N}’'-]+/gu) ?? []);
  const grade = fleschKincaid({ sentence: sentences.length, word: all.length, syllable: all.reduce((sum, it) => sum + syllable(it), 0) });
  assert.ok(all.length > 400 && grade <= 6, `${all.length} words, grade ${grade}`);
  const long = sentences.filter((it) => (it.match(/\S+/gu) ?? []).length > 20);
  assert.deepEqual(long, []);
});
