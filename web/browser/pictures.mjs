// Takes the README's two pictures: npm run pictures
import path from "node:path";
import { pathToFileURL } from "node:url";
import { execFileSync } from "node:child_process";
import { browser, build, demo, file, root, serve } from "./start.mjs";

const picture = (name) => path.join(root, "docs", name);
const program = build();
const chrome = await browser();

const page = await chrome.newPage({ viewport: { width: 1200, height: 800 } });
execFileSync(program, ["report", demo("etude-millrace"), "-o", file("etude.html")]);
await page.goto(pathToFileURL(file("etude.html")).href);
const systems = page.locator(".hp-wide svg.hp-system:visible, svg.hp-system:visible");
const [from, to] = [await systems.nth(3).boundingBox(), await systems.nth(4).boundingBox()];
await page.screenshot({ path: picture("report.png"), fullPage: true, clip: { x: 0, y: from.y, width: 1200, height: to.y + to.height - from.y } });

const local = await serve(program);
try {
  await page.goto(local.address);
  await page.setInputFiles("#lp-file", demo("song-ferry-lamp"));
  await page.locator(".hp-bar").nth(39).waitFor({ state: "attached" });
  await page.waitForTimeout(1000); // the rest of the score
  await page.locator(".hp-bar").nth(20).click();
  await page.click("#lp-play-here");
  await page.waitForTimeout(800);
  await page.screenshot({ path: picture("page.png") });
} finally {
  await chrome.close();
  await local.stop();
}
