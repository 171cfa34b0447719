// A form filled in from top to end with the keyboard alone, saved, and handed to the program.

import assert from "node:assert/strict";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { setTimeout as pause } from "node:timers/promises";
import { DESKTOP, PHONE, browser, folder, open, perchside } from "./browser.mjs";

/** Presses Tab till the focus stands on an element that fits. Every stop on the way must be seen, and not be covered. */
async function tabTo(page, selector) {
  for (let at = 0; at < 1500; at += 1) {
    await page.keyboard.press("Tab");
    const found = await page.evaluate((wanted) => document.activeElement.matches(wanted), selector);
    if (found) return;
  }
  assert.fail(`no way with Tab to ${selector}`);
}

/** Where the focus stands: seen, with a ring, and not under the bar at the top. */
async function seen(page) {
  await page.waitForFunction(() => {
    const at = document.activeElement.getBoundingClientRect();
    return at.top >= 0 && at.bottom <= innerHeight + 1;
  });
  const { ringed, covered } = await page.evaluate(() => {
    const it = document.activeElement;
    const box = it.closest(".option") ?? it;
    const at = box.getBoundingClientRect();
    const top = document.elementFromPoint(at.left + at.width / 2, at.top + at.height / 2);
    const outline = (of) => getComputedStyle(of).outlineStyle !== "none" && parseFloat(getComputedStyle(of).outlineWidth) >= 2;
    return { ringed: outline(box) || outline(it), covered: !box.contains(top) && !top?.contains(box) && top?.outerHTML.slice(0, 80) };
  });
  assert.ok(ringed, "the focus has a ring");
  assert.equal(covered, false, "nothing lies over the focus");
}

for (const [name, viewport] of [["desktop", DESKTOP], ["phone", PHONE]]) {
  test(`with the keyboard alone, from an empty form to a plan: ${name}`, async (t) => {
    const at = folder(t);
    const on = await browser(t);
    const path = join(at, "form.html");
    writeFileSync(path, perchside("blank", "--form", "--tier", "intake"));
    const page = await open(on, path, viewport);
    const session = await on.target().createCDPSession();
    await session.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: at });
    const key = page.keyboard;

    // The first stop leads past the head of the page.
    await key.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.hash), "#questions");
    await key.press("Enter");

    // choices: two, then the one that shuts them out.
    await tabTo(page, "#q-case-hurt-now input");
    await seen(page);
    await key.press("Space");
    await tabTo(page, '#q-case-hurt-now input[value="nobody"]');
    await key.press("Space");
    // date
    await tabTo(page, "#q-case-received-in");
    await seen(page);
    await key.type("2026-11-20");
    // choice: the first, then with an arrow the next.
    await tabTo(page, "#q-case-setting input");
    await key.press("Space");
    await seen(page);
    await key.press("ArrowDown");
    await key.press("ArrowUp");
    // a choice that opens another question
    await tabTo(page, "#q-case-deadline input");
    await key.press("Space");
    await key.press("ArrowDown");
    await tabTo(page, "#q-case-deadline-date-in");
    await seen(page);
    await key.type("2027-01");
    // text
    await tabTo(page, "#q-bird-name-in");
    await key.type("Pip");
    await tabTo(page, "#q-bird-species-in");
    await key.type("cockatiel");
    // level
    await tabTo(page, "#q-bird-size input");
    await key.press("Space");
    // number with its unit from the list
    await tabTo(page, "#q-bird-weight-in");
    await key.type("92");
    await page.keyboard.press("Tab");
    assert.ok(await page.evaluate(() => document.activeElement.matches("#q-bird-weight .unit")));
    await seen(page);
    await key.type("g");
    // don't know
    await tabTo(page, "#q-bird-age input[data-unknown]");
    await key.press("Space");
    // why: opens and closes
    await tabTo(page, "#q-bird-age summary");
    await key.press("Enter");
    assert.ok(await page.$eval("#q-bird-age details", (it) => it.open));
    // a number that may stand without a unit, and its taking back
    await tabTo(page, "#q-bird-homes-in");
    await key.type("77");
    await tabTo(page, "#q-bird-homes .back");
    await key.press("Enter");
    assert.ok(await page.evaluate(() => document.activeElement.matches("#q-bird-homes-in")));
    await key.type("2");

    // A bite: added, with a choice from a long list.
    await tabTo(page, "#part-bites [data-act=add]");
    await seen(page);
    await key.press("Enter");
    assert.equal(await page.evaluate(() => document.activeElement.textContent), "Bite 1");
    await tabTo(page, '#part-bites [data-q="date"] .value');
    await key.type("2026-11-02");
    await tabTo(page, '#part-bites [data-q="person"] .value');
    await key.type("Ana");
    await tabTo(page, '#part-bites [data-q="injury"] input');
    await key.press("Space");
    for (let step = 0; step < 3; step += 1) await key.press("ArrowDown");
    await tabTo(page, '#part-bites [data-q="body-part"] select');
    await key.press("ArrowDown");
    await tabTo(page, '#part-bites [data-q="wound"] input');

    // A person: added, with one more that is taken out again.
    await tabTo(page, "#part-people [data-act=add]");
    await key.press("Space");
    await tabTo(page, '#part-people [data-q="name"] .value');
    await key.type("Ana");
    await tabTo(page, '#part-people [data-q="age"] .value');
    await key.type("41");
    // yes or no
    await tabTo(page, '#part-people [data-q="can-keep-away"] input');
    await key.press("Space");
    await tabTo(page, "#part-people [data-act=add]");
    await key.press("Enter");
    await tabTo(page, ".block:nth-child(2) [data-act=remove], .block:nth-child(2) input");
    await key.down("Shift");
    await key.press("Tab");
    await key.up("Shift");
    if (!(await page.evaluate(() => document.activeElement.matches(".block:nth-child(2) [data-act=remove]")))) await tabTo(page, ".block:nth-child(2) [data-act=remove]");
    await key.press("Enter");
    assert.equal(await page.evaluate(() => document.activeElement.textContent), "Put it back");

    // None at all, said of a whole part; and a long text.
    await tabTo(page, '#whole-animals input[data-whole="none"]');
    await key.press("Space");
    await tabTo(page, "#q-goals-wish-in");
    await seen(page);
    await key.type("We sit in one room.");
    await key.press("Enter");
    await key.type("Nobody bleeds.");

    await tabTo(page, "#save [data-act=save]");
    await seen(page);
    await key.press("Enter");
    const file = join(at, "intake.yaml");
    for (let wait = 0; wait < 100 && !existsSync(file); wait += 1) await pause(50);
    const yaml = readFileSync(file, "utf8");
    for (const line of [
      "hurt-now: [nobody]",
      "received: 2026-11-20",
      "deadline-date: 2027-01",
      "name: Pip",
      "species: cockatiel",
      "size: small",
      "weight: 92 g",
      "age: unknown",
      "homes: 2",
      "  - date: 2026-11-02\n    person: Ana\n    injury: broken-skin\n    body-part: finger",
      "  - name: Ana\n    age: 41 years\n    can-keep-away: yes",
      "animals: []",
      'wish: "We sit in one room.\\nNobody bleeds."',
    ]) {
      assert.ok(yaml.includes(line), `${line}\n${yaml}`);
    }
    assert.equal(yaml.match(/- name/gu).length, 1);
    assert.match(perchside("plan", file), /Pip/);
    assert.deepEqual(page.requests.filter((it) => !it.startsWith("blob:")), []);
    assert.deepEqual(page.faults, []);
  });
}
