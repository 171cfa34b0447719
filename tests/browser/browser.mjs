// A browser for the tests: the system's Chromium with a fresh profile, and pages that note every request they make.

import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";

const here = dirname(fileURLToPath(import.meta.url));
const require = createRequire(import.meta.url);

/** The root of the project. */
export const ROOT = resolve(here, "../..");
/** The program under test. */
export const PERCHSIDE = resolve(here, process.env.PERCHSIDE ?? "../../target/debug/perchside");
/** The day of the tests; the examples were written for it. */
export const TODAY = "2026-11-25";

export const DESKTOP = { width: 1280, height: 900 };
export const PHONE = { width: 360, height: 740, isMobile: true, hasTouch: true, deviceScaleFactor: 2 };

/** Runs the program; gives its standard output. */
export function perchside(...args) {
  return execFileSync(PERCHSIDE, ["--today", TODAY, ...args], { encoding: "utf8", maxBuffer: 1 << 27, stdio: ["ignore", "pipe", "pipe"] });
}

/** A folder that is taken away at the end. */
export function folder(test) {
  const path = mkdtempSync(join(tmpdir(), "perchside-"));
  test.after(() => rmSync(path, { recursive: true, force: true, maxRetries: 5 }));
  return path;
}

/** Starts a browser with a fresh profile; it ends with the test. */
export async function browser(test) {
  const profile = mkdtempSync(join(tmpdir(), "perchside-browser-"));
  const started = await puppeteer.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    userDataDir: profile,
    protocolTimeout: 300_000,
    args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  test.after(async () => {
    await started.close();
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  });
  return started;
}

/** Opens a file of the disk. `page.requests` holds every other address it asked for, `page.faults` what it complained of. */
export async function open(on, path, viewport = DESKTOP) {
  const page = await on.newPage();
  await page.setViewport(viewport);
  page.requests = [];
  page.faults = [];
  const address = pathToFileURL(path).href;
  page.on("request", (request) => {
    if (request.url().split("#")[0] !== address) page.requests.push(request.url());
  });
  page.on("pageerror", (fault) => page.faults.push(String(fault)));
  page.on("console", (message) => {
    if (["error", "warn"].includes(message.type())) page.faults.push(message.text());
  });
  await page.goto(address);
  return page;
}

/** What axe-core finds wrong with a page: one line for each element. */
export async function axe(page) {
  // As an expression: a script element would be held back by the page's own policy.
  await page.evaluate(readFileSync(require.resolve("axe-core/axe.min.js"), "utf8"));
  const { violations } = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
  return violations.flatMap((it) => it.nodes.map((node) => `${it.id}: ${node.target.join(" ")} ${node.failureSummary}`));
}

/** What the Nu Html Checker finds wrong with a page: one line for each error or warning. */
export function vnu(html, at) {
  const path = join(at, "checked.html");
  writeFileSync(path, html);
  const args = ["-Xss4m", "-Dfile.encoding=UTF-8", "-jar", require.resolve("vnu-jar/build/dist/vnu.jar"), "--exit-zero-always", "--stdout", "--format", "json", path];
  const out = execFileSync("java", args, { encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
  return JSON.parse(out).messages.map((it) => `${it.type}${it.subType ? ` (${it.subType})` : ""}: ${it.message} at line ${it.lastLine}`);
}

/** A practice's folder that says which sheet papers are printed on, and what else it says. */
export function practice(at, paper, more = "") {
  const path = join(at, `practice-${paper}`);
  mkdirSync(path);
  writeFileSync(join(path, "practice.yaml"), `paper: ${paper}\n${more}`);
  return path;
}

/** A form with the same text in every answer that takes text, from what `blank --schema` says. */
export function filled(schema, text) {
  const form = {};
  for (const [group, about] of Object.entries(schema.properties)) {
    const repeats = about.anyOf?.find((it) => it.type === "array");
    const fields = (repeats ? repeats.items : about).properties;
    const texts = Object.entries(fields).filter(([, field]) => JSON.stringify(field.anyOf[0]) === JSON.stringify({ type: ["string", "number", "boolean"] }));
    const answers = Object.fromEntries(texts.map(([id]) => [id, text]));
    if (texts.length) form[group] = repeats ? [answers] : answers;
  }
  if (form.people) form.people[0].age = "40 years";
  delete form.case.language;
  delete form.spots;
  return form;
}
