// What the browser tests share: the program, started, and a Chromium.
import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import path from "node:path";
import { chromium } from "playwright-core";

export const root = path.resolve(import.meta.dirname, "../..");
export const demo = (name) => path.join(root, "testdata", `${name}.musicxml`);
export const folder = mkdtempSync(path.join(tmpdir(), "hairpin-browser-"));
export const file = (name) => path.join(folder, name);

/** The program: HAIRPIN, or built now. */
export function build() {
  if (process.env.HAIRPIN) return process.env.HAIRPIN;
  const out = file("hairpin");
  execFileSync("go", ["build", "-o", out, "./cmd/hairpin"], { cwd: root, stdio: "inherit" });
  return out;
}

/** The folder of the static site: SITE, or built now. */
export function buildSite() {
  if (process.env.SITE) return process.env.SITE;
  const out = file("site");
  execFileSync("go", ["run", "./tools/dist", "-site", "-o", out], { cwd: root, stdio: ["ignore", "ignore", "inherit"] });
  return out;
}

/** Starts the page; stop() ends it. */
export async function serve(program) {
  const child = spawn(program, ["serve"], { stdio: ["ignore", "pipe", "inherit"] });
  const address = await new Promise((resolve, reject) => {
    child.stdout.once("data", (d) => resolve(String(d).trim()));
    child.once("exit", (code) => reject(new Error(`hairpin serve ended with ${code}`)));
  });
  const ended = new Promise((resolve) => child.once("exit", resolve));
  return { address, stop: () => (child.kill("SIGTERM"), ended) };
}

export function browser(more = []) {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
      "--disable-component-update", "--disable-sync", "--autoplay-policy=no-user-gesture-required", ...more],
  });
}

export const desk = { viewport: { width: 1280, height: 900 } };
export const phone = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, hasTouch: true };
export const tablet = { viewport: { width: 820, height: 1180 }, deviceScaleFactor: 2, hasTouch: true };
export const dark = { ...desk, colorScheme: "dark" };

/** A score that plays a demonstration several times over. */
export function longer(name, times) {
  let number = 0;
  return readFileSync(demo(name), "utf8").replace(/(<part id[^>]*>)([^]*?)(<\/part>)/g, (_, open, music, shut) => {
    number = 0;
    return open + music.repeat(times).replace(/<measure number="[^"]*"/g, () => `<measure number="${++number}"`) + shut;
  });
}

/** A page whose every complaint is kept. */
export async function openPage(b, options, address) {
  const context = await b.newContext(options);
  const page = await context.newPage();
  const complaints = [];
  page.on("console", (m) => m.type() === "error" && complaints.push(m.text()));
  page.on("pageerror", (e) => complaints.push(String(e)));
  if (address) await page.goto(address);
  return { page, complaints, close: () => context.close() };
}

/** Chooses a demonstration and waits for its staves. */
export async function chooseDemo(page, name) {
  await page.click(`[data-demo=${name}]`);
  await page.waitForSelector("svg.hp-system");
  await page.waitForFunction(() => !document.querySelector("main[aria-busy]"));
}

/** Drops a file on the page, as a hand would. */
export async function drop(page, name, bytes) {
  const data = await page.evaluateHandle(([name, text]) => {
    const d = new DataTransfer();
    d.items.add(new File([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], name));
    return d;
  }, [name, Buffer.from(bytes).toString("base64")]);
  await page.dispatchEvent("body", "dragover", { dataTransfer: data });
  await page.dispatchEvent("body", "drop", { dataTransfer: data });
}

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** What an accessibility checker finds. The page's policy allows no foreign script, so it is put in by the browser itself. */
export async function findings(page) {
  await page.evaluate(axeSource);
  const { violations } = await page.evaluate(() => globalThis.axe.run());
  return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).slice(0, 3).join(", ")}`);
}
