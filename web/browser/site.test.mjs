// The static site in Chromium: first visit, without a network, its outputs, its
// silence, phone and tablet, ways in, limits, a new version.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { after, before, describe, test } from "node:test";
import { gunzipSync, gzipSync } from "node:zlib";
import { host } from "./host.mjs";
import { browser, build, buildSite, chooseDemo, demo, desk, drop, file, findings, longer, openPage, phone, tablet } from "./start.mjs";

let chrome;
let site;
let program;
let folder;
let desktop; // a page that several tests use, as one sitting
before(async () => {
  program = build();
  folder = buildSite();
  site = await host(folder);
  chrome = await browser(["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"]);
  desktop = await visit(desk);
});
after(async () => {
  await chrome?.close();
  await site?.stop();
});

/** A page in a browser profile of its own. */
async function visit(options, address = site.address) {
  const tab = await openPage(chrome, options);
  tab.page.setDefaultTimeout(60_000);
  if (address) await tab.page.goto(address);
  return tab;
}

/** Runs in a profile of its own and wants no complaint in the end. */
async function fresh(options, run, { address = site.address, allowed = /$^/ } = {}) {
  const { page, complaints, close } = await visit(options, address);
  try {
    await run(page);
    assert.deepEqual(complaints.filter((c) => !allowed.test(c)), []);
  } finally {
    await close();
  }
}

const ready = (page) => page.waitForSelector("[data-demo]");
const shown = (page) => page.waitForFunction(() => document.querySelector("svg.hp-system") && !document.querySelector("main[aria-busy]"));

/** The score of that title is there, all of it. */
const titled = (page, title) =>
  page.waitForFunction((t) => document.title.startsWith(t) && document.querySelector("svg.hp-system") && !document.querySelector("main[aria-busy]"), title);

/** Its service worker answers. */
const atWork = (page) => page.waitForFunction(async () => (await navigator.serviceWorker.ready).active.state === "activated");

async function keptForOffline(page) {
  await ready(page);
  await atWork(page);
}

describe("a first visit, in this order", () => {
  let own;
  let tab;
  let page;
  const went = [];
  before(async () => {
    own = await host(folder);
    tab = await visit(desk, "");
    page = tab.page;
    page.context().on("request", (r) => went.push(r.url()));
  });
  after(async () => {
    await tab?.close();
    await own?.stop();
  });

  test("takes less than 9 MB and fetches the program once", async () => {
    await page.goto(own.address);
    await keptForOffline(page);
    await page.waitForTimeout(500);
    console.log(`# first visit: ${(own.bytes / 1e6).toFixed(2)} MB in ${own.asked.length} requests`);
    assert.ok(own.bytes <= 9e6, `${own.bytes} bytes`);
    for (const name of ["/hairpin.wasm.gz", "/engraver.wasm.gz"]) assert.equal(own.asked.filter((a) => a.url.startsWith(name)).length, 1, name);
  });

  test("sends nothing anywhere, and its policy lets neither page nor workers do so", async () => {
    const foreign = await host(folder);
    await drop(page, "song.musicxml", readFileSync(demo("song-ferry-lamp")));
    await shown(page);
    await page.locator(".hp-bar").nth(3).click();
    await page.waitForSelector("#lp-why:not([hidden])");
    for (const kind of ["report", "annotated"]) await save(page, kind);
    assert.deepEqual(tab.complaints, []);
    const reach = async (url) => fetch(url, { method: "POST", body: "x" }).then(() => "reached", (e) => e.name);
    const ways = [page, ...page.workers()];
    assert.ok(ways.length >= 3, `${ways.length - 1} workers`); // program and engraver
    for (const way of ways) assert.equal(await way.evaluate(reach, foreign.address), "TypeError");
    assert.deepEqual(foreign.asked, []);
    assert.deepEqual(went.filter((u) => !u.startsWith(own.address) && !u.startsWith(`blob:${own.address}`) && !u.startsWith("data:")), []);
    assert.ok(own.asked.length > 10);
    for (const a of own.asked) assert.deepEqual([a.method, a.length], ["GET", 0], a.url);
    await foreign.stop();
  });

  test("needs no network from then on", async () => {
    tab.complaints.length = 0; // what was refused above
    await own.stop();
    await page.goto(own.address);
    await ready(page);
    await chooseDemo(page, "vibraphone-low-water");
    assert.equal(await page.locator("h1:visible").textContent(), "Low Water");
    assert.deepEqual(await page.evaluate(() => [...document.fonts].filter((f) => f.status === "error").map((f) => f.family)), []);
    await save(page, "study");
    assert.deepEqual(tab.complaints, []);
  });
});

/** Chooses a file of the Save menu and gives what the browser saved. */
async function save(page, kind) {
  const coming = page.waitForEvent("download");
  await page.evaluate((k) => document.querySelector(`[data-file=${k}]`).click(), kind);
  return readFileSync(await (await coming).path());
}

/** The command's files of a score by the names the page uses; reports take an engraver's time, so some do without. */
function written(name, path, engraved) {
  const run = (...args) => execFileSync(program, args, { maxBuffer: 1 << 28 });
  const files = {};
  const add = (kind, ending, ...args) => {
    const to = file(`${name}-out${ending}`);
    run(...args, "-o", to);
    files[kind] = readFileSync(to);
  };
  add("annotated", ".musicxml", "annotate", path);
  add("reduction", "-reduced.musicxml", "reduce", path);
  for (const level of ["printed", "shaped"]) add(level, `-${level}.mid`, "listen", path, "--level", level);
  if (engraved) add("report", ".html", "report", path);
  files.study = run("study", path, "--format", "json");
  return files;
}

test("a take is followed by the worker, drawn as the command draws it, recorded under the site's policy, and nothing is sent", async () => {
  const own = await host(folder);
  const score = demo("vibraphone-low-water");
  execFileSync(program, ["listen", score, "-o", file("friday.mid"), "--level", "shaped"]);
  execFileSync(program, ["listen", score, "-o", file("monday.wav"), "--level", "printed", "--measures", "5-12"]);
  execFileSync(program, ["report", score, "-o", file("played.html"), "--take", file("friday.mid"), "--take", file("monday.wav")]);
  await fresh(desk, async (page) => {
    await ready(page);
    await page.setInputFiles("#lp-file", score);
    await shown(page);
    await page.click("#lp-takes-open");
    for (const [i, name] of ["friday.mid", "monday.wav"].entries()) {
      const begun = Date.now();
      await page.setInputFiles("#tk-file", file(name));
      await page.waitForFunction((n) => document.querySelector(`svg.hp-system .hp-take-${n}`), i + 1);
      console.log(`# ${name}: followed and drawn after ${((Date.now() - begun) / 1000).toFixed(1)} s`);
      await shown(page);
    }
    assert.equal((await save(page, "report")).equals(readFileSync(file("played.html"))), true, "the report with takes is not the command's");
    await page.click("#tk-record");
    await page.waitForFunction(() => document.querySelector("#tk-meter").value > -50);
    await page.waitForTimeout(1200);
    await page.click("#tk-record");
    await page.waitForFunction(() => /seems to be another piece/.test(document.querySelector("#tk-said").textContent));
    await page.reload();
    await page.waitForFunction(() => document.querySelector("svg.hp-system .hp-take-2"));
  }, { address: own.address, allowed: /status of 422/ });
  for (const a of own.asked) assert.deepEqual([a.method, a.length], ["GET", 0], a.url);
  await own.stop();
});

test("five scores: every file is the command's, byte for byte", async () => {
  const { page } = desktop;
  await ready(page);
  const scores = ["etude-millrace", "song-ferry-lamp", "quartet-below-the-weir", "vibraphone-low-water"].map((n) => [n, readFileSync(demo(n))]);
  scores.splice(3, 0, ["song-three-times", Buffer.from(longer("song-ferry-lamp", 3))]);
  for (const [name, bytes] of scores) {
    const path = file(`${name}.musicxml`);
    writeFileSync(path, bytes);
    const engraved = name.startsWith("quartet") || name.startsWith("vibra");
    const files = written(name, path, engraved);
    await drop(page, `${name}.musicxml`, bytes);
    const title = /<(?:work|movement)-title>([^<]*)/.exec(bytes)[1];
    if (engraved) await titled(page, title);
    else await page.waitForFunction((t) => document.title.startsWith(t), title); // another than the one before
    for (const [kind, expected] of Object.entries(files)) assert.ok(expected.equals(await save(page, kind)), `${name}: ${kind}`);
  }
});

const song = readFileSync(demo("song-ferry-lamp"));

/** A measure by touch, and what an accessibility checker says. */
async function byTouch(page, systems) {
  assert.equal((await page.locator(systems).count()) > 0, true);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "nothing lies outside to the right");
  await page.locator(".hp-bar").nth(1).tap();
  await page.waitForSelector("#lp-why:not([hidden])");
  assert.notEqual(await page.locator("#lp-why-heading").textContent(), "");
  assert.deepEqual(await findings(page), []);
}

test("phone: our score, by touch", () =>
  fresh(phone, async (page) => {
    await page.tap("[data-demo=vibraphone-low-water]");
    await shown(page);
    await byTouch(page, "svg.hp-n");
  }));

test("tablet: a score opened with the installed page, by touch", () =>
  fresh(tablet, async (page) => {
    await page.addInitScript((text) => {
      const given = { files: [{ getFile: async () => new File([text], "opened.musicxml") }] };
      Object.defineProperty(globalThis, "launchQueue", { value: { setConsumer: (run) => run(given) } });
    }, String(song));
    await page.goto(site.address);
    await shown(page);
    assert.equal(await page.locator("h1:visible").textContent(), "Ferry Lamp");
    await byTouch(page, "svg.hp-w");
  }, { address: "" }));

test("a score from the file picker", async () => {
  const { page } = desktop;
  await page.setInputFiles("#lp-file", demo("vibraphone-low-water"));
  await titled(page, "Low Water");
});

test("a score that another app shares", async () => {
  const { page } = desktop;
  await atWork(page);
  const manifest = JSON.parse(readFileSync(`${folder}/manifest.webmanifest`, "utf8"));
  assert.equal(manifest.share_target.params.files[0].name, "score");
  const status = await page.evaluate(async ([to, text]) => {
    const form = new FormData();
    form.append("score", new File([text], "shared.musicxml"));
    return (await fetch(to, { method: "POST", body: form })).url;
  }, [manifest.share_target.action, String(song)]);
  assert.equal(status, site.address);
  await page.goto(site.address);
  await titled(page, "Ferry Lamp");
});

describe("limits", () => {
  test("a score larger than a page takes is refused in one sentence", async () => {
    const { page } = desktop;
    await page.evaluate(() => {
      const d = new DataTransfer();
      d.items.add(new File([new Uint8Array(17 << 20)], "huge.musicxml"));
      document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: d, bubbles: true }));
    });
    await page.waitForSelector("#lp-error:not([hidden])");
    assert.match(await page.locator("#lp-error-text").textContent(), /^huge\.musicxml: larger than the 16 MB this page takes/);
  });

  test("a score for which the memory does not suffice is told, and the page goes on", async () => {
    const small = await host(copyOf("small", (name, data) => (name === "hairpin.wasm.gz" ? gzipSync(withMemory(gunzipSync(data), 1500), { level: 1 }) : data)));
    await fresh(desk, async (page) => {
      await ready(page);
      await drop(page, "long.musicxml", longer("song-ferry-lamp", 80));
      await page.waitForSelector("#lp-error:not([hidden])");
      assert.match(await page.locator("#lp-error-text").textContent(), /^The memory of this device does not suffice for this score\./);
      await chooseDemo(page, "vibraphone-low-water");
    }, { address: small.address, allowed: /out of memory|status of/ });
    await small.stop();
  });

  test("work is stopped at a word, and the page answers meanwhile", async () => {
    const { page } = desktop;
    await drop(page, "long.musicxml", longer("song-ferry-lamp", 12));
    await page.waitForFunction(() => document.querySelector("#lp-status").textContent.startsWith("Drawing"));
    const slow = await page.evaluate(async () => {
      let slowest = 0;
      for (let i = 0, last = performance.now(); i < 20; i++) {
        await new Promise((done) => setTimeout(done, 20));
        slowest = Math.max(slowest, performance.now() - last - 20);
        last = performance.now();
      }
      return slowest;
    });
    console.log(`# slowest answer of the page while it draws: ${Math.round(slow)} ms`);
    await page.click("#lp-stop");
    assert.equal(await page.locator("#lp-status").textContent(), "Stopped.");
    await drop(page, "next.musicxml", readFileSync(demo("vibraphone-low-water")));
    await titled(page, "Low Water");
  });

  test("in all of this the page has complained of nothing", () => assert.deepEqual(desktop.complaints, []));
});

/** The module with another upper bound of its memory: section 5, 64 KiB pages, three bytes of LEB128. */
function withMemory(module, pages) {
  for (let at = 8; ; ) {
    const id = module[at];
    let size = 0;
    let n = 1;
    for (let shift = 0; ; shift += 7, n++) {
      size |= (module[at + n] & 127) << shift;
      if (!(module[at + n] & 128)) break;
    }
    if (id === 5) {
      module.set([(pages & 127) | 128, ((pages >> 7) & 127) | 128, pages >> 14], at + 1 + n + size - 3);
      return module;
    }
    at += 1 + n + size;
  }
}

/** A copy of the site with files changed. */
function copyOf(name, change) {
  const to = file(name);
  cpSync(folder, to, { recursive: true });
  for (const n of ["index.html", "site.js", "sw.js", "hairpin.wasm.gz"]) {
    const before = readFileSync(`${to}/${n}`);
    const after = change(n, before);
    if (after !== before) writeFileSync(`${to}/${n}`, after);
  }
  return to;
}

test("a new version is fetched beside the old one, offered, and used at once when wanted", async () => {
  const moving = await host(folder);
  await fresh(desk, async (page) => {
    await keptForOffline(page);
    const [, version] = /"version":"(\w+)"/.exec(readFileSync(`${folder}/sw.js`, "utf8"));
    const [, script] = /"site\.js":"(\w+)"/.exec(readFileSync(`${folder}/sw.js`, "utf8"));
    moving.folder = copyOf("next", (name, data) => {
      if (name === "hairpin.wasm.gz") return data;
      return String(data).replaceAll(version, "0123456789ab").replaceAll(`"${script}"`, '"ba9876543210"').replaceAll(`v=${script}`, "v=ba9876543210").replace("<head>", `<head><meta name="next">`);
    });
    moving.asked.length = 0;
    const letGo = moving.hold((name) => !name.endsWith("sw.js")); // the page starts while it is on its way
    await page.evaluate(async () => void (await (await navigator.serviceWorker.ready).update()));
    await page.reload();
    await ready(page);
    const next = page.locator("meta[name=next]");
    assert.equal(await next.count(), 0, "the old version until the new one is wanted");
    assert.equal(await page.locator("#lp-update").count(), 0, "not offered before its files have come");
    letGo();
    await page.click("#lp-update button");
    await next.waitFor({ state: "attached" });
    await ready(page);
    assert.deepEqual(moving.asked.filter((a) => a.url.includes(".wasm")), [], "what has not changed is not fetched again");
    assert.deepEqual(await page.evaluate(() => caches.keys()), ["hairpin-0123456789ab"]);
  }, { address: moving.address });
  await moving.stop();
});
