import { browser, openPage, desk, chooseDemo, longer, drop, demo } from "./browser/start.mjs";
import { readFileSync } from "node:fs";
import { host } from "./browser/host.mjs";
const b = await browser();
const s = await host("/tmp/browser/site");
const { page, complaints, close } = await openPage(b, desk);
await page.goto(s.address);
page.on("console", m => console.log("console", m.text()));
await page.waitForSelector("[data-demo]");
await drop(page, "long.musicxml", longer("song-ferry-lamp", 12));
const t0 = Date.now();
const look = async () => console.log(Date.now()-t0, await page.evaluate(() => [document.title, document.querySelector("#lp-status").textContent, document.querySelector("#lp-error-text").textContent, document.querySelectorAll("svg.hp-system").length, document.querySelector("main").getAttribute("aria-busy")]));
await page.waitForFunction(() => document.querySelector("#lp-status").textContent.startsWith("Drawing"));
await look();
await page.click("#lp-stop");
await look();
await drop(page, "next.musicxml", readFileSync(demo("vibraphone-low-water")));
for (let i=0;i<15;i++) { await page.waitForTimeout(1500); await look(); }
await b.close(); await s.stop();
