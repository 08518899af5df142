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
before(async () => {
  program = build();
  folder = buildSite();
  site = await host(folder);
  chrome = await browser(["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"]);
});
after(async () => {
  await chrome?.close();
  await site?.stop();
});

/** Runs with a fresh browser profile and wants no complaint in the end. */
async function fresh(options, run, { address = site.address, allowed = /$^/ } = {}) {
  const { page, complaints, close } = await openPage(chrome, options, address);
  try {
    page.setDefaultTimeout(120_000);
    await run(page);
    assert.deepEqual(complaints.filter((c) => !allowed.test(c)), []);
  } finally {
    await close();
  }
}

const ready = (page) => page.waitForSelector("[data-demo]");
const shown = (page) => page.waitForFunction(() => document.querySelector("svg.hp-system") && !document.querySelector("main[aria-busy]"));

async function keptForOffline(page) {
  await ready(page);
  await page.waitForFunction(async () => (await navigator.serviceWorker.ready).active.state === "activated");
}

describe("first visit and after", () => {
  test("takes less than 9 MB, fetches the program once, and then needs no network", async () => {
    const other = await host(folder);
    await fresh(desk, async (page) => {
      await keptForOffline(page);
      await page.waitForTimeout(500);
      console.log(`# first visit: ${(other.bytes / 1e6).toFixed(2)} MB in ${other.asked.length} requests`);
      assert.ok(other.bytes <= 9e6, `${other.bytes} bytes`);
      for (const name of ["/hairpin.wasm.gz", "/engraver.wasm.gz"]) assert.equal(other.asked.filter((a) => a.url.startsWith(name)).length, 1, name);
      await other.stop();
      await page.reload();
      await ready(page);
      await chooseDemo(page, "vibraphone-low-water");
      assert.equal(await page.locator("h1:visible").textContent(), "Low Water");
      assert.deepEqual(await page.evaluate(() => [...document.fonts].filter((f) => f.status === "error").map((f) => f.family)), []);
      await save(page, "study");
    }, { address: other.address });
  });

  test("sends nothing anywhere, and its policy lets neither page nor workers do so", async () => {
    const foreign = await host(folder);
    const own = await host(folder);
    const went = [];
    await fresh(desk, async (page) => {
      page.context().on("request", (r) => went.push(r.url()));
      await keptForOffline(page);
      await drop(page, "song.musicxml", readFileSync(demo("song-ferry-lamp")));
      await shown(page);
      await page.locator(".hp-bar").nth(3).click();
      await page.waitForSelector("#lp-why:not([hidden])");
      for (const kind of ["report", "annotated"]) await save(page, kind);
      const reach = async (url) => fetch(url, { method: "POST", body: "x" }).then(() => "reached", (e) => e.name);
      const ways = [page, ...page.workers()];
      assert.ok(ways.length >= 3, `${ways.length - 1} workers`); // program and engraver
      for (const way of ways) assert.equal(await way.evaluate(reach, foreign.address), "TypeError");
    }, { address: own.address, allowed: /Content Security Policy|Fetch API cannot load/ });
    assert.deepEqual(foreign.asked, []);
    assert.deepEqual(went.filter((u) => !u.startsWith(own.address) && !u.startsWith(`blob:${own.address}`) && !u.startsWith("data:")), []);
    assert.ok(own.asked.length > 10);
    for (const a of own.asked) assert.deepEqual([a.method, a.length], ["GET", 0], a.url);
    await Promise.all([foreign.stop(), own.stop()]);
  });
});

/** Chooses a file of the Save menu and gives what the browser saved. */
async function save(page, kind) {
  const coming = page.waitForEvent("download");
  await page.evaluate((k) => document.querySelector(`[data-file=${k}]`).click(), kind);
  return readFileSync(await (await coming).path());
}

test("five scores: every file is the command's, byte for byte", () =>
  fresh(desk, async (page) => {
    await ready(page);
    const scores = ["etude-millrace", "quartet-below-the-weir", "song-ferry-lamp", "vibraphone-low-water"].map((n) => [n, readFileSync(demo(n))]);
    scores.push(["song-three-times", Buffer.from(longer("song-ferry-lamp", 3))]);
    for (const [name, bytes] of scores) {
      const path = file(`${name}.musicxml`);
      writeFileSync(path, bytes);
      const out = (ending) => file(`${name}-out${ending}`);
      const run = (...args) => execFileSync(program, args, { maxBuffer: 1 << 28 });
      run("report", path, "-o", out(".html"));
      run("annotate", path, "-o", out(".musicxml"));
      run("reduce", path, "-o", out("-reduced.musicxml"));
      for (const level of ["printed", "shaped"]) run("listen", path, "--level", level, "-o", out(`-${level}.mid`));
      await drop(page, `${name}.musicxml`, bytes);
      await page.waitForFunction((title) => document.title.startsWith(title) && !document.querySelector("main[aria-busy]"), /<(?:work|movement)-title>([^<]*)/.exec(bytes)[1]);
      const same = { report: out(".html"), annotated: out(".musicxml"), reduction: out("-reduced.musicxml"), printed: out("-printed.mid"), shaped: out("-shaped.mid") };
      for (const [kind, at] of Object.entries(same)) assert.ok(readFileSync(at).equals(await save(page, kind)), `${name}: ${kind}`);
      assert.ok(run("study", path, "--format", "json").equals(await save(page, "study")), `${name}: study`);
    }
  }));

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

test("phone and tablet, by touch", async () => {
  for (const options of [phone, tablet]) {
    await fresh(options, async (page) => {
      await page.tap("[data-demo=vibraphone-low-water]");
      await shown(page);
      const wide = options.viewport.width > 700;
      assert.equal(await page.locator(wide ? "svg.hp-w" : "svg.hp-n").count() > 0, true);
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "nothing lies outside to the right");
      await page.locator(".hp-bar").nth(1).tap();
      await page.waitForSelector("#lp-why:not([hidden])");
      assert.notEqual(await page.locator("#lp-why-heading").textContent(), "");
      assert.deepEqual(await findings(page), []);
    });
  }
});

describe("ways in", () => {
  const song = readFileSync(demo("song-ferry-lamp"));
  test("the file picker", () =>
    fresh(desk, async (page) => {
      await ready(page);
      await page.setInputFiles("#lp-file", demo("vibraphone-low-water"));
      await shown(page);
    }));

  test("a score that another app shares", () =>
    fresh(desk, async (page) => {
      await keptForOffline(page);
      const manifest = JSON.parse(readFileSync(`${folder}/manifest.webmanifest`, "utf8"));
      assert.equal(manifest.share_target.params.files[0].name, "score");
      const status = await page.evaluate(async ([to, text]) => {
        const form = new FormData();
        form.append("score", new File([text], "shared.musicxml"));
        return (await fetch(to, { method: "POST", body: form })).url;
      }, [manifest.share_target.action, String(song)]);
      assert.equal(status, site.address);
      await page.reload();
      await shown(page);
      assert.equal(await page.locator("h1:visible").textContent(), "Ferry Lamp");
    }));

  test("a score opened with the installed page", () =>
    fresh(desk, async (page) => {
      await page.addInitScript((text) => {
        const given = { files: [{ getFile: async () => new File([text], "opened.musicxml") }] };
        Object.defineProperty(globalThis, "launchQueue", { value: { setConsumer: (run) => run(given) } });
      }, String(song));
      await page.goto(site.address);
      await shown(page);
      assert.equal(await page.locator("h1:visible").textContent(), "Ferry Lamp");
    }, { address: "" }));
});

describe("limits", () => {
  test("a score larger than a page takes is refused in one sentence", () =>
    fresh(desk, async (page) => {
      await ready(page);
      await page.evaluate(() => {
        const d = new DataTransfer();
        d.items.add(new File([new Uint8Array(17 << 20)], "huge.musicxml"));
        document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: d, bubbles: true }));
      });
      await page.waitForSelector("#lp-error:not([hidden])");
      assert.match(await page.locator("#lp-error-text").textContent(), /^huge\.musicxml: larger than the 16 MB this page takes/);
    }));

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

  test("work is stopped at a word, and the page answers meanwhile", () =>
    fresh(desk, async (page) => {
      await ready(page);
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
      await page.waitForFunction(() => document.title.startsWith("Low Water") && document.querySelector("svg.hp-system") && !document.querySelector("main[aria-busy]"));
    }));
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
      return String(data).replaceAll(version, "0123456789ab").replaceAll(`"${script}"`, '"ba9876543210"').replaceAll(`v=${script}`, "v=ba9876543210").replace("<title>hairpin<", "<title>hairpin, next<");
    });
    moving.asked.length = 0;
    await page.reload();
    assert.equal(await page.title(), "hairpin", "the old version until the new one is wanted");
    await page.waitForSelector("#lp-update");
    await page.click("#lp-update button");
    await page.waitForFunction(() => document.title === "hairpin, next");
    await ready(page);
    assert.deepEqual(moving.asked.filter((a) => a.url.includes(".wasm")), [], "what has not changed is not fetched again");
    assert.deepEqual(await page.evaluate(() => caches.keys()), ["hairpin-0123456789ab"]);
  }, { address: moving.address });
  await moving.stop();
});
