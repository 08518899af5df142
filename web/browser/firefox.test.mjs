// The static site in Firefox: first visit, a score, a file, without a network,
// and silence.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { after, before, test } from "node:test";
import puppeteer from "puppeteer-core";
import { host } from "./host.mjs";
import { build, buildSite, demo, file } from "./start.mjs";

let fox;
let site;
let program;
const profile = mkdtempSync(path.join(tmpdir(), "hairpin-fox-"));
before(async () => {
  program = build();
  site = await host(buildSite());
  fox = await puppeteer.launch({ browser: "firefox", executablePath: process.env.FIREFOX ?? "/usr/bin/firefox-esr", headless: true, userDataDir: profile });
});
after(async () => {
  await fox?.close();
  await site?.stop();
  rmSync(profile, { recursive: true, force: true });
});

const shown = (page, title) =>
  page.waitForFunction((t) => document.title.startsWith(t) && document.querySelector("svg.hp-system") && !document.querySelector("main[aria-busy]"), {}, title);

/** What the page would save: the file's text, caught where it is handed to the browser. */
function saved(page, kind) {
  return page.evaluate(async (k) => {
    const made = URL.createObjectURL;
    try {
      return await new Promise((resolve) => {
        URL.createObjectURL = (blob) => (void blob.text().then(resolve), made.call(URL, blob));
        document.querySelector(`[data-file=${k}]`).click();
      });
    } finally {
      URL.createObjectURL = made;
    }
  }, kind);
}

test("Firefox: a first visit, then no network; the command's files; nothing sent", { timeout: 240_000 }, async () => {
  const page = await fox.newPage();
  page.setDefaultTimeout(120_000);
  await page.setViewport({ width: 1180, height: 820 });
  await page.goto(site.address);
  await page.waitForSelector("[data-demo]");
  console.log(`# first visit: ${(site.bytes / 1e6).toFixed(2)} MB`);
  await page.click("[data-demo=vibraphone-low-water]");
  await shown(page, "Low Water");
  await page.$eval(".hp-bar", (bar) => bar.dispatchEvent(new MouseEvent("click", { bubbles: true })));
  await page.waitForSelector("#lp-why:not([hidden])");
  const score = demo("vibraphone-low-water");
  execFileSync(program, ["report", score, "-o", file("fox.html")]);
  assert.equal((await saved(page, "report")) === readFileSync(file("fox.html"), "utf8"), true, "the report is not the command's");
  assert.equal(await saved(page, "study"), execFileSync(program, ["study", score, "--format", "json"], { encoding: "utf8" }));
  const foreign = await host(tmpdir());
  const refused = await page.evaluate((to) => fetch(to, { method: "POST", body: "x" }).then(() => "reached", (e) => e.name), foreign.address);
  assert.equal(refused, "TypeError");
  assert.deepEqual(foreign.asked, []);
  await foreign.stop();
  for (const a of site.asked) assert.deepEqual([a.method, a.length], ["GET", 0], a.url);

  await page.waitForFunction(async () => (await navigator.serviceWorker.ready).active.state === "activated");
  await site.stop();
  await page.reload();
  await shown(page, "Low Water"); // where the work was left
  const input = await page.$("#lp-file");
  await input.uploadFile(demo("song-ferry-lamp"));
  await page.waitForFunction(() => document.title.startsWith("Ferry Lamp")); // in words; staves were drawn above
  await page.close();
});
