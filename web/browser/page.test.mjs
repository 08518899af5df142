// The local page in a real browser.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { after, before, describe, test } from "node:test";
import { browser, build, chooseDemo, dark, demo, desk, drop, file, findings, longer, openPage, phone, serve } from "./start.mjs";

let chrome;
let site;
let program;
before(async () => {
  program = build();
  site = await serve(program);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await site?.stop();
});

/** Runs with a fresh page and wants no complaint of the browser in the end. */
async function fresh(options, run, allowed = /$^/) {
  const { page, complaints, close } = await openPage(chrome, options, site.address);
  try {
    await run(page);
    assert.deepEqual(complaints.filter((c) => !allowed.test(c)), []);
  } finally {
    await close();
  }
}

/** Keeps where the first staves stand when they first appear, and when that is. */
function watchStaves() {
  const look = () => [...document.querySelectorAll("svg.hp-system")].map((p) => {
    const r = p.getBoundingClientRect();
    return [r.left, r.top + scrollY, r.width, r.height, p.querySelector(".eng-system").outerHTML.length];
  });
  const seen = (globalThis.seen = { look, begun: {} });
  let from = 0;
  document.addEventListener("drop", () => (from = performance.now()), true);
  new MutationObserver(() => {
    if (!from || document.querySelector("#lp-title").textContent !== "Ferry Lamp") return;
    const now = Math.round(performance.now() - from);
    const main = document.querySelector("main");
    if (!main.querySelector("svg.hp-system")) seen.begun.words ??= now;
    else if (seen.begun.words && !seen.first) [seen.first, seen.begun.staves] = [look(), now];
    if (seen.first && !main.hasAttribute("aria-busy")) seen.begun.all ??= now;
  }).observe(document.body, { subtree: true, childList: true, attributes: true });
}

const explained = (page) => page.locator("#lp-why-heading").textContent();

describe("opening", () => {
  test("a dropped score is shown", () =>
    fresh(desk, async (page) => {
      await drop(page, "song.musicxml", readFileSync(demo("song-ferry-lamp")));
      await page.waitForSelector("svg.hp-system");
      await page.waitForFunction(() => !document.querySelector("main[aria-busy]"));
      assert.equal(await page.locator("h1:visible").textContent(), "Ferry Lamp");
      assert.ok((await page.locator(".hp-bar").count()) === 40);
    }));

  test("the first staves of a long score come at once and stay where they are", async () => {
    for (const options of [desk, phone]) {
      await fresh(options, async (page) => {
        await chooseDemo(page, "song-ferry-lamp"); // warm-up
        const song = Buffer.from(longer("song-ferry-lamp", 4));
        await page.evaluate(watchStaves);
        await drop(page, "song.musicxml", song);
        await page.waitForFunction(() => globalThis.seen.first && !document.querySelector("main[aria-busy]"), undefined, { timeout: 60_000 });
        const { first, whole, begun, count } = await page.evaluate(() => ({ ...globalThis.seen, whole: globalThis.seen.look(), count: document.querySelectorAll("svg.hp-system").length }));
        console.log(`# ${options.viewport.width} px, 160 measures: words after ${begun.words} ms, first staves ${begun.staves} ms, all ${begun.all} ms`);
        assert.ok(first.length > 0 && first.length < count, `${first.length} of ${count} systems came first`);
        assert.deepEqual(whole.slice(0, first.length), first);
      });
    }
  });

  test("a score is chosen from disk", () =>
    fresh(desk, async (page) => {
      await page.setInputFiles("#lp-file", demo("etude-millrace"));
      await page.waitForSelector("svg.hp-system");
      assert.match(await page.title(), /The Millrace/);
    }));

  test("a hostile file gives one sentence and leaves the page as it was", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "vibraphone-low-water");
      await drop(page, "evil.xml", '<!DOCTYPE s [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise>&x;</score-partwise>');
      await page.waitForSelector("#lp-error:not([hidden])");
      const text = await page.locator("#lp-error").textContent();
      assert.match(text, /^evil\.xml/);
      assert.doesNotMatch(text, /root:/);
      assert.equal(await page.locator("svg.hp-system").count() > 0, true);
    }, /status of 4/));

  test("the message about a bad file is seen wherever the page is scrolled to, and goes away", async () => {
    for (const options of [desk, phone]) {
      await fresh(options, async (page) => {
        await chooseDemo(page, "song-ferry-lamp");
        await page.evaluate(() => window.scrollTo(0, document.body.scrollHeight));
        await drop(page, "score.pdf", "%PDF-1.7");
        await page.waitForSelector("#lp-error:not([hidden])");
        assert.match(await page.locator("#lp-error").textContent(), /^score\.pdf: this is a PDF/);
        const box = await page.locator("#lp-error").boundingBox();
        assert.ok(box.y >= 0 && box.y + box.height <= options.viewport.height && box.width <= options.viewport.width, JSON.stringify(box));
        await page.click("#lp-error-close");
        await page.waitForSelector("#lp-error", { state: "hidden" });
      }, /status of 4/);
    }
  });

  test("markup in a score stays text", () =>
    fresh(desk, async (page) => {
      const evil = readFileSync(demo("song-ferry-lamp"), "utf8").replace(/<(work-title|movement-title)>[^<]*</, "<$1>&lt;img src=x onerror=alert(1)&gt;<").replace("<text>The<", "<text>&lt;script&gt;alert(1)&lt;/script&gt;<");
      page.on("dialog", () => assert.fail("a script of the score ran"));
      await drop(page, "markup.musicxml", evil);
      await page.waitForSelector("svg.hp-system");
      assert.match(await page.locator("h1:visible").textContent(), /<img/);
      assert.equal(await page.locator("#lp-main img, #lp-main script").count(), 0);
    }));
});

/** Clicks what saves a file, and looks at its name and beginning. */
async function saves(page, what, name, begins) {
  const [download] = await Promise.all([page.waitForEvent("download"), page.click(what)]);
  assert.equal(download.suggestedFilename(), name);
  await download.saveAs(file(name));
  assert.ok(readFileSync(file(name), "latin1").startsWith(begins), name);
}

describe("reading", () => {
  test("a measure is clicked and explained", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      await page.locator(".hp-bar").nth(9).click();
      await page.waitForSelector("#lp-why:not([hidden])");
      assert.match(await explained(page), /^10:1: .+ Tension \d+ of 100/);
      for (let m = 10; (await page.locator("#lp-beats button").count()) < 2; m++) { // on to a measure in which the harmony changes
        await page.locator(".hp-bar").nth(m).press("Enter");
        await page.waitForFunction((m) => document.querySelector("#lp-why-title").textContent === `Measure ${m + 1}`, m);
      }
      const first = await explained(page);
      await page.locator("#lp-beats button").last().click();
      await page.waitForFunction((first) => document.querySelector("#lp-why-heading").textContent !== first, first);
    }));

  test("a key and a chord are overruled and everything follows; taken back, all is as before", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      const before = await page.locator("#lp-score").innerHTML();
      await page.locator(".hp-bar").nth(0).click();
      await page.waitForSelector("#lp-why:not([hidden])");
      await page.selectOption("#lp-key", "c");
      await page.fill("#lp-numeral", "VI");
      await page.click("#lp-correct button[type=submit]");
      await page.waitForSelector("#lp-mine:not([hidden])");
      await page.waitForFunction(() => /VI in C minor \(given\)/.test(document.querySelector("#lp-why-heading").textContent));
      assert.notEqual(await page.locator("#lp-score").innerHTML(), before);
      await page.click("#lp-corrections button");
      await page.waitForSelector("#lp-mine", { state: "hidden" });
      await page.click("#lp-why-close");
      assert.equal(await page.locator("#lp-score .hp-system").count(), (before.match(/class="hp-system/g) ?? []).length);
    }));

  test("a numeral that does not exist is refused in words", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      await page.locator(".hp-bar").nth(0).click();
      await page.waitForSelector("#lp-why:not([hidden])");
      await page.fill("#lp-numeral", "XX");
      await page.click("#lp-correct button[type=submit]");
      await page.waitForSelector("#lp-bad:not([hidden])");
      assert.match(await page.locator("#lp-bad").textContent(), /^your reading at 1:1: numeral "XX" is unknown/);
      assert.equal(await page.locator("#lp-error").isVisible(), false, "told once, beside the numeral");
      assert.equal(await page.inputValue("#lp-numeral"), "XX", "what was refused stays to be mended");
    }));

  test("weights and part change the reading", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "quartet-below-the-weir");
      const drawn = () => page.locator(".hp-dissonance[d]").first().getAttribute("d");
      const first = await drawn();
      await page.click("#lp-weights-menu summary");
      await page.locator("#lp-distance").fill("0");
      await page.waitForFunction((was) => document.querySelector(".hp-dissonance[d]").getAttribute("d") !== was, first);
      const second = await drawn();
      await page.selectOption("#lp-part", "1");
      await page.waitForFunction((was) => document.querySelector(".hp-dissonance[d]").getAttribute("d") !== was, second);
    }));

  test("every file is saved under its name", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "vibraphone-low-water");
      for (const [kind, ending, begins] of [["report", "-report.html", "<!DOCTYPE"], ["annotated", "-annotated.musicxml", "<?xml"], ["reduction", "-reduction.musicxml", "<?xml"],
        ["printed", "-printed.mid", "MThd"], ["shaped", "-proposed.mid", "MThd"], ["study", "-study.json", "{"], ["poster", "-poster.html", "<!DOCTYPE"]]) {
        await page.evaluate(() => (document.querySelector("#lp-files-menu").open = true));
        await saves(page, `[data-file=${kind}]`, `vibraphone-low-water${ending}`, begins);
      }
    }));

  test("a phrase is shared as a picture and as a page that plays", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      await page.locator(".hp-bar").nth(9).click();
      await page.waitForSelector("#lp-why:not([hidden])");
      await page.click("#lp-share summary");
      const named = async (as, ending, begins) => {
        const [download] = await Promise.all([page.waitForEvent("download"), page.click(`[data-share=${as}]`)]);
        assert.match(download.suggestedFilename(), new RegExp(`^song-ferry-lamp-\\d+-\\d+\\.${ending}$`));
        await download.saveAs(file(`phrase.${ending}`));
        assert.ok(readFileSync(file(`phrase.${ending}`), "latin1").startsWith(begins), as);
      };
      await named("svg", "svg", "<svg");
      await named("png", "png", "\x89PNG");
      const png = readFileSync(file("phrase.png"));
      assert.equal(png.readUInt32BE(16), 2400, "pixels wide");
      assert.ok(png.length > 50_000, `${png.length} bytes: nothing is drawn`);
      await named("report", "html", "<!DOCTYPE");
      const handout = await openPage(chrome, desk, pathToFileURL(file("phrase.html")).href);
      assert.ok((await handout.page.locator(".hp-wide svg.hp-system").count()) <= 4, "the phrase, not the piece");
      await handout.page.click("#lp-play");
      await handout.page.waitForFunction(() => /measure 1?\d/.test(document.querySelector("#lp-where").textContent));
      assert.deepEqual(handout.complaints, []);
      await handout.close();
    }));
});

describe("playing", () => {
  test("the line stands on the notes: median error under a pixel; nothing else moves", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      await page.evaluate(() => {
        globalThis.shifts = 0;
        new PerformanceObserver((list) => list.getEntries().forEach((e) => (globalThis.shifts += e.value))).observe({ type: "layout-shift", buffered: false });
      });
      await page.click("#lp-play");
      const seen = [];
      const until = Date.now() + 7000;
      while (Date.now() < until) seen.push(...(await page.evaluate(sample)));
      const off = seen.sort((a, b) => a - b);
      assert.ok(off.length > 30, `only ${off.length} samples`);
      const median = off[off.length >> 1];
      console.log(`# line against noteheads: ${off.length} samples, median ${median.toFixed(3)} px, worst ${off.at(-1).toFixed(3)} px`);
      assert.ok(median < 1, `median ${median} px`);
      assert.equal(await page.evaluate(() => globalThis.shifts), 0);
      await page.click("#lp-play");
    }));

  test("every moment of the page: the place for it is the place of its noteheads", async () => {
    for (const options of [desk, phone]) {
      await fresh(options, async (page) => {
        await chooseDemo(page, "etude-millrace");
        const off = (await page.evaluate(everyNote)).sort((a, b) => a - b);
        const median = off[off.length >> 1];
        console.log(`# anchors against noteheads at ${options.viewport.width} px: ${off.length} notes, median ${median.toFixed(3)} px, 95 % under ${off[Math.floor(off.length * 0.95)].toFixed(3)} px`);
        assert.ok(off.length > 200 && median < 1);
      });
    }
  });

  test("printed and proposed are switched in place", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "etude-millrace");
      await page.click("#lp-play");
      await page.waitForTimeout(1500);
      const at = () => page.evaluate(() => Number(document.querySelector(".lp-cursor").getAttribute("x1")));
      const first = await at();
      await page.check("input[name=lp-level][value=shaped]");
      await page.waitForTimeout(300);
      const second = await at();
      assert.ok(second > first && second - first < 400, `from ${first} to ${second}`);
      assert.equal(await page.locator("#lp-play").getAttribute("aria-pressed"), "true");
      await page.click("#lp-play");
      assert.equal(await page.locator("#lp-play").getAttribute("aria-pressed"), "false");
    }));

  test("it plays from any measure", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "etude-millrace");
      await page.click("#lp-sound-menu summary");
      await page.selectOption("#lp-from", "22");
      await page.click("#lp-play");
      await page.waitForFunction(() => /measure 23/.test(document.querySelector("#lp-where").textContent));
      await page.click("#lp-play");
    }));
});

/** How far the line stands, in pixels, from where the engraved notes around its moment say it should. */
function sample() {
  const line = document.querySelector(".lp-cursor");
  if (!line) return [];
  const picture = line.closest("svg.hp-system");
  const box = picture.getBoundingClientRect();
  const scale = box.width / picture.viewBox.baseVal.width;
  const heads = [...picture.querySelectorAll(".eng-note > use")].map((u) => {
    const r = u.getBoundingClientRect();
    return r.left + r.width / 2;
  });
  const notes = []; // moments with the measured place of their notehead
  for (const [q, x] of JSON.parse(picture.dataset.anchors)) {
    const head = heads.find((h) => Math.abs(h - (box.left + x * scale)) < 4);
    if (head !== undefined) notes.push([q, head]);
  }
  const q = Number(line.dataset.quarter);
  const i = notes.findIndex((n) => n[0] > q);
  if (i < 1) return [];
  const [a, b] = [notes[i - 1], notes[i]];
  const r = line.getBoundingClientRect();
  return [Math.abs(r.left + r.width / 2 - (a[1] + ((b[1] - a[1]) * (q - a[0])) / (b[0] - a[0])))];
}

/** Distance of every notehead from the anchor nearest to it. */
function everyNote() {
  const off = [];
  for (const picture of document.querySelectorAll("svg.hp-system")) {
    const scale = picture.getBoundingClientRect().width / picture.viewBox.baseVal.width;
    const left = picture.getBoundingClientRect().left;
    const anchors = JSON.parse(picture.dataset.anchors);
    for (const u of picture.querySelectorAll(".eng-note > use:first-child")) {
      const r = u.getBoundingClientRect();
      off.push(Math.min(...anchors.map((a) => Math.abs(left + a[1] * scale - (r.left + r.width / 2)))));
    }
  }
  return off;
}

describe("for everybody", () => {
  for (const [name, options] of [["desk", desk], ["phone", phone], ["dark", dark]]) {
    test(`an accessibility checker finds nothing: ${name}`, () =>
      fresh(options, async (page) => {
        await page.waitForSelector("#lp-demos button");
        assert.deepEqual(await findings(page), []);
        await chooseDemo(page, "song-ferry-lamp");
        assert.deepEqual(await findings(page), []);
        await page.locator(".hp-bar").nth(2).click();
        await page.waitForSelector("#lp-why:not([hidden])");
        await page.evaluate(() => document.querySelector(".hp-data").setAttribute("open", ""));
        assert.deepEqual(await findings(page), []);
        await page.fill("#lp-numeral", "iv");
        await page.click("#lp-correct button[type=submit]");
        await page.waitForFunction(() => /given/.test(document.querySelector("#lp-why-heading").textContent));
        assert.deepEqual(await findings(page), [], "after overruling");
        await page.fill("#lp-numeral", "XX");
        await page.click("#lp-correct button[type=submit]");
        await page.waitForSelector("#lp-bad:not([hidden])");
        assert.deepEqual(await findings(page), [], "with a numeral that is refused");
        await drop(page, "score.pdf", "%PDF-1.7");
        await page.waitForSelector("#lp-error:not([hidden])");
        assert.deepEqual(await findings(page), [], "with an error");
        await page.click("#lp-why-close"); // the message leaves it free
        await page.click("#lp-contents-open");
        assert.deepEqual(await findings(page), [], "with the contents open");
        await page.locator("#lp-contents button[aria-label^=Close]").click();
        await page.click("#lp-error-close");
        for (const menu of ["#lp-weights-menu", "#lp-files-menu"]) {
          await page.click(`${menu} summary`);
          assert.deepEqual(await findings(page), [], `with ${menu} open`);
        }
        await page.keyboard.press("Escape");
        await page.click("#lp-play");
        await page.waitForSelector(".lp-cursor", { state: "attached" });
        assert.deepEqual(await findings(page), [], "while playing");
        await page.click("#lp-play");
        await page.evaluate(() => (document.querySelector("#lp-drop").hidden = false));
        assert.deepEqual(await findings(page), [], "while a file is held over it");
      }, /status of 4/));
  }

  test("the keyboard alone opens, chooses, reads, overrules, plays and closes", () =>
    fresh(desk, async (page) => {
      await page.waitForSelector("#lp-demos button");
      await tabTo(page, "Millrace (étude)");
      await page.keyboard.press("Enter");
      await page.waitForSelector("svg.hp-system");
      await tabTo(page, "Measure 1: why?");
      await page.keyboard.press("ArrowRight");
      await page.keyboard.press("Enter");
      await page.waitForSelector("#lp-why:not([hidden])");
      assert.match(await explained(page), /^2:1/);
      await tabTo(page, "Numeral");
      await page.keyboard.type("iv");
      await page.keyboard.press("Enter");
      await page.waitForSelector("#lp-mine:not([hidden])");
      await page.waitForFunction(() => /given/.test(document.querySelector("#lp-why-heading").textContent));
      await page.keyboard.press("Escape");
      await page.waitForSelector("#lp-why", { state: "hidden" });
      assert.match(await page.evaluate(() => document.activeElement.getAttribute("aria-label")), /Measure 2/);
      await page.keyboard.press(" ");
      await page.waitForFunction(() => document.querySelector("#lp-play").getAttribute("aria-pressed") === "true");
      await page.keyboard.press(" ");
    }));

  test("a phone shows the narrow staves and nothing wider than itself", () =>
    fresh(phone, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      assert.equal(await page.locator(".hp-narrow svg.hp-system").count() > 0, true);
      assert.equal(await page.locator(".hp-wide").count(), 0);
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 390);
      for (const menu of ["#lp-weights-menu", "#lp-files-menu"]) {
        await page.click(`${menu} summary`);
        const sheet = await page.locator(`${menu} .lp-sheet`).boundingBox();
        assert.ok(sheet.x >= 0 && sheet.x + sheet.width <= 390, `${menu} reaches from ${sheet.x} to ${sheet.x + sheet.width}`);
        await page.keyboard.press("Escape");
      }
      const label = await page.evaluate(() => document.querySelector(".hp-numerals text").getBoundingClientRect().height);
      assert.ok(label >= 13, `labels are ${label} px high`);
    }));

  test("the page prints", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      for (const format of ["A4", "Letter"]) assert.ok((await page.pdf({ format })).length > 20_000);
    }));

  test("when the program is gone the page says so", async () => {
    const own = await serve(program);
    const { page, close } = await openPage(chrome, desk, own.address);
    await chooseDemo(page, "vibraphone-low-water");
    await own.stop();
    await page.locator(".hp-bar").first().click();
    await page.waitForSelector("#lp-error:not([hidden])");
    assert.match(await page.locator("#lp-error").textContent(), /does not answer/);
    await close();
  });
});

/** Presses Tab until something of that name has the focus. */
async function tabTo(page, name) {
  for (let i = 0; i < 80; i++) {
    await page.keyboard.press("Tab");
    const here = await page.evaluate(() => {
      const e = document.activeElement;
      return e.getAttribute("aria-label") ?? e.closest("label")?.textContent.trim() ?? e.textContent.trim();
    });
    if (here.startsWith(name)) return;
  }
  assert.fail(`Tab never reaches ${name}`);
}
