// What must stay: the music where it is, the work where it was left.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { browser, build, chooseDemo, demo, desk, file, openPage, phone, serve } from "./start.mjs";

let chrome;
let site;
before(async () => {
  site = await serve(build());
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await site?.stop();
});

async function fresh(options, run) {
  const { page, complaints, close } = await openPage(chrome, options, site.address);
  try {
    await run(page);
    assert.deepEqual(complaints, []);
  } finally {
    await close();
  }
}

const sizes = { laptop: { viewport: { width: 1280, height: 720 } }, phone, tablet: { viewport: { width: 820, height: 1180 } }, "tablet on its side": { viewport: { width: 1180, height: 820 } }, "200 %": { viewport: { width: 640, height: 360 }, deviceScaleFactor: 2 } };
const whole = (page) => page.waitForFunction(() => !document.querySelector("main[aria-busy]"));
const places = (page) => page.evaluate(() => [scrollY, ...[...document.querySelectorAll(".hp-bar")].map((b) => b.getBoundingClientRect()).flatMap((r) => [r.left, r.top, r.width])].join());
const box = (page, what) => page.evaluate((what) => { const r = document.querySelector(what).getBoundingClientRect(); return { top: r.top, bottom: r.bottom, left: r.left, right: r.right }; }, what);

/** Clicks a measure where it is seen and waits for the card. */
async function click(page, n) {
  await page.locator(".hp-bar").nth(n).evaluate((b) => b.closest(".hp-line").scrollIntoView({ block: "start", behavior: "instant" }));
  const at = await page.locator(".hp-bar").nth(n).boundingBox();
  const before = await places(page);
  await page.mouse.click(at.x + at.width / 2, at.y + 60);
  await page.waitForSelector("#lp-why:not([hidden])");
  return before;
}

describe("the music", () => {
  for (const [name, options] of Object.entries(sizes)) {
    test(`takes, settings and files are in reach amid the piece, and calling them moves nothing: ${name}`, () =>
      fresh(options, async (page) => {
        await chooseDemo(page, "song-ferry-lamp");
        await page.evaluate(() => scrollTo({ top: 900, behavior: "instant" }));
        await page.waitForSelector(".lp-headless");
        const line = () => page.evaluate(() => Math.round(document.querySelectorAll(".hp-bar")[12].getBoundingClientRect().top));
        const before = await line();
        await page.click("#lp-head-open");
        for (const what of ["#lp-takes-open", "#lp-weights-menu summary", "#lp-files-menu summary"]) {
          const b = await box(page, what);
          assert.ok(b.top >= 0 && b.bottom <= options.viewport.height, `${what} is out of reach`);
        }
        assert.ok(Math.abs((await line()) - before) <= 1, "calling the head moved the music");
        await page.keyboard.press("Escape");
        assert.ok(Math.abs((await line()) - before) <= 1, "sending it away moved the music");
        assert.equal(await page.getAttribute("#lp-head-open", "aria-expanded"), "false");
      }));
    test(`begins in the first window and does not move for the card: ${name}`, () =>
      fresh(options, async (page) => {
        const high = options.viewport.height;
        await chooseDemo(page, "song-ferry-lamp");
        const staves = (await box(page, "svg.hp-system")).top;
        const strip = await box(page, "#hp-whole");
        console.log(`# ${name}: strip ends at ${strip.bottom.toFixed(0)}, staves begin at ${staves.toFixed(0)} of ${high} px`);
        assert.ok(strip.bottom <= staves + 1 && staves < high * 0.65);
        for (const menu of ["#lp-weights-menu", "#lp-files-menu", "#lp-sound-menu"]) {
          await page.click(`${menu} summary`);
          const out = await page.evaluate((menu) => [...document.querySelectorAll(`${menu} .lp-sheet, ${menu} .lp-sheet *`)].filter((e) => { const r = e.getBoundingClientRect(); return r.width > 0 && (r.left < 0 || r.right > innerWidth); }).map((e) => e.outerHTML.slice(0, 60)), menu);
          assert.deepEqual(out, [], `${menu} is cut`);
          await page.keyboard.press("Escape");
        }
        for (const what of ["#lp-contents-open", "#lp-loop"]) assert.ok((await box(page, what)).bottom <= high && (await page.isVisible(what)), `${what} is out of reach`);
        for (const n of [1, 3, 8, 9]) {
          const before = await click(page, n);
          assert.equal(await places(page), before, `measure ${n + 1} moved`);
          const card = await box(page, "#lp-why");
          const bar = await box(page, "#lp-player");
          for (const what of ["#lp-because", "#lp-play-here", "#lp-correct [type=submit]"]) {
            const b = await box(page, what);
            assert.ok(b.top >= 0 && b.bottom <= bar.top, `${what} is out of reach: ${b.top} to ${b.bottom}, the bar begins at ${bar.top}`);
          }
          const chosen = await box(page, ".lp-chosen");
          const beside = card.left >= chosen.right || card.right <= chosen.left;
          assert.ok(beside || options.viewport.width < 704, `the card covers measure ${n + 1}: ${JSON.stringify([card, chosen])}`);
          await page.keyboard.press("Escape");
          assert.equal(await places(page), before, "closing moved it");
        }
      }));
  }

  test("the strip stays in sight, leads on, and moves nothing where less motion is wished", () =>
    fresh({ ...desk, reducedMotion: "reduce" }, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      const strip = await page.locator("#hp-whole svg").first().boundingBox();
      await page.mouse.click(strip.x + strip.width * 0.7, strip.y + 30);
      const seen = await page.evaluate(() => [...document.querySelectorAll(".hp-bar")].filter((b) => { const r = b.getBoundingClientRect(); return r.top > 0 && r.top < innerHeight / 2; }).map((b) => Number(b.dataset.measure) + 1));
      assert.ok(seen.includes(28) || seen.includes(29), `at 70 % of 40 measures stand ${seen}`);
      assert.equal((await box(page, "#hp-whole")).top, 0);
      await page.locator("#hp-whole a[data-bar]").first().focus();
      await page.keyboard.press("Enter");
      await page.waitForFunction(() => scrollY < 100);
    }));
});

describe("the work", () => {
  test("is there again after a reload, at the next visit, and by Back; it is forgotten when asked", () =>
    fresh(desk, async (page) => {
      await page.setInputFiles("#lp-file", demo("song-ferry-lamp"));
      await page.waitForSelector("svg.hp-system");
      await whole(page);
      await click(page, 4);
      await page.fill("#lp-numeral", "iv");
      await page.click("#lp-correct [type=submit]");
      await page.waitForSelector("#lp-corrections li");
      await whole(page);
      await page.waitForTimeout(600);
      const scroll = await page.evaluate(() => scrollY);
      await page.reload();
      await page.waitForSelector("#lp-corrections li");
      await page.waitForSelector("#lp-why:not([hidden])");
      assert.equal(await page.locator("#lp-why-title").textContent(), "Measure 5");
      assert.ok(Math.abs((await page.evaluate(() => scrollY)) - scroll) < 2, "it is not where it was");
      await page.click("#lp-home");
      await page.waitForSelector("[data-work]");
      assert.match(await page.locator("[data-work]").textContent(), /Ferry Lamp, 1 correction/);
      await chooseDemo(page, "etude-millrace");
      await page.goBack();
      await page.waitForSelector("#lp-welcome:not([hidden])");
      await page.goBack();
      await page.waitForSelector("#lp-corrections li");
      assert.equal(await page.locator("#lp-title").textContent(), "Ferry Lamp");
      await page.click("#lp-home");
      await page.waitForSelector("[data-work]");
      await page.click("#lp-forget");
      await page.waitForSelector("[data-work]", { state: "detached" });
      await page.goto(site.address);
      await page.waitForSelector("#lp-demos button");
      assert.equal(await page.locator("[data-work]").count(), 0);
    }));

  test("two tabs with two scores leave each other alone", async () => {
    const context = await chrome.newContext(desk);
    try {
      const [one, two] = [await context.newPage(), await context.newPage()];
      for (const [page, name] of [[one, "song-ferry-lamp"], [two, "etude-millrace"]]) {
        await page.goto(site.address);
        await chooseDemo(page, name);
      }
      await one.waitForTimeout(500);
      for (const [page, title] of [[one, "Ferry Lamp"], [two, "The Millrace"]]) {
        await page.reload();
        await page.waitForSelector("svg.hp-system");
        assert.equal(await page.locator("#lp-title").textContent(), title);
      }
    } finally {
      await context.close();
    }
  });

  test("every measure has an address, and Back goes through them", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "etude-millrace");
      await click(page, 2);
      assert.match(page.url(), /#m3$/);
      await click(page, 5);
      assert.match(page.url(), /#m6$/);
      await page.goBack();
      await page.waitForFunction(() => document.querySelector("#lp-why-title").textContent === "Measure 3");
      await page.goBack();
      await page.waitForSelector("#lp-why", { state: "hidden" });
      assert.equal(await page.locator("#lp-title").textContent(), "The Millrace");
    }));

  test("corrections are saved, loaded and undone; an overruled chord looks its own", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      await page.setInputFiles("#lp-load-corrections", { name: "mine.txt", mimeType: "text/plain", buffer: Buffer.from("# measure beat key numeral\n1 1 c VI\n5 1 - iv\n") });
      await page.waitForFunction(() => document.querySelectorAll("#lp-corrections li").length === 2);
      await whole(page);
      assert.ok((await page.locator("#lp-score .hp-given").count()) >= 2);
      await page.click("#lp-files-menu summary");
      const [download] = await Promise.all([page.waitForEvent("download"), page.click("#lp-save-corrections")]);
      await download.saveAs(file("corrections"));
      assert.match(readFileSync(file("corrections"), "utf8"), /^# .*\n1 1 c VI\n5 1 - iv\n$/);
      await page.keyboard.press("Escape");
      await page.locator("#lp-main").focus();
      await page.keyboard.press("Control+z");
      await page.waitForSelector("#lp-mine", { state: "hidden" });
      await whole(page);
      assert.equal(await page.locator("#lp-score .hp-given").count(), 0);
      await page.setInputFiles("#lp-load-corrections", { name: "bad.txt", mimeType: "text/plain", buffer: Buffer.from("1 1 c\n") });
      await page.waitForSelector("#lp-error:not([hidden])");
      assert.match(await page.locator("#lp-error").textContent(), /^bad\.txt, line 1/);
    }));
});

describe("finding and hearing", () => {
  test("the contents find by word and verdict, go there and play it both ways", () =>
    fresh({ ...desk, reducedMotion: "reduce" }, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      await page.click("#lp-contents-open");
      const all = await page.locator("#lp-contents li").count();
      await page.fill("#lp-contents input", "half cadence");
      const some = await page.locator("#lp-contents li").count();
      assert.ok(some > 0 && some < all, `${some} of ${all}`);
      await page.fill("#lp-contents input", "phrase 5");
      await page.locator("#lp-contents a", { hasText: /^Phrase 5/ }).click();
      assert.ok((await page.evaluate(() => scrollY)) > 500);
      const levels = page.evaluate(() => new Promise((done) => {
        const seen = [];
        const look = setInterval(() => {
          const now = document.querySelector("input[name=lp-level]:checked").value;
          if (seen.at(-1) !== now) seen.push(now);
          if (seen.length > 1) { clearInterval(look); done(seen); }
        }, 30);
      }));
      await page.evaluate(() => { const s = document.querySelector("#lp-tempo"); s.value = "120"; s.dispatchEvent(new Event("input")); });
      await page.click("#lp-contents-open");
      await page.locator("#lp-contents li button").first().click();
      assert.equal(await page.locator("#lp-play").getAttribute("aria-pressed"), "true");
      assert.deepEqual(await levels, ["printed", "shaped"]);
      await page.click("#lp-play");
    }));

  test("a measure under way is left for the one that is clicked", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "etude-millrace");
      await page.click("#lp-play");
      await page.waitForSelector(".lp-cursor", { state: "attached" });
      await page.locator(".hp-bar").nth(9).evaluate((b) => b.dispatchEvent(new MouseEvent("click", { bubbles: true })));
      await page.waitForFunction(() => /measure 1[01]/.test(document.querySelector("#lp-where").textContent));
      await page.click("#lp-play");
    }));

  test("Play begins at the chosen measure, folds the card, and a card stays with its staves", () =>
    fresh({ ...desk, reducedMotion: "reduce" }, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      await click(page, 9);
      await page.click("#lp-play");
      await page.waitForFunction(() => /measure/.test(document.querySelector("#lp-where").textContent));
      assert.match(await page.locator("#lp-where").textContent(), /measure 1[01]/);
      assert.deepEqual([await page.isVisible("#lp-because"), await page.isVisible("#lp-correct")], [true, false]);
      await page.click("#lp-play");
      assert.ok(await page.isVisible("#lp-correct"));
      await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
      await page.waitForFunction(() => getComputedStyle(document.querySelector("#lp-why")).visibility === "hidden");
      await page.evaluate(() => scrollTo(0, 0));
      await page.locator(".hp-first a").nth(1).click();
      const framed = await page.evaluate(() => document.querySelector(".lp-chosen").getBoundingClientRect().top);
      assert.ok(framed > 0 && framed < 900, `the place of a suggestion is framed at ${framed} px`);
    }));

  test("a measure's address in a new tab opens the score worked on last, there", async () => {
    const context = await chrome.newContext({ ...phone, reducedMotion: "reduce" });
    try {
      const one = await context.newPage();
      await one.goto(site.address);
      await chooseDemo(one, "song-ferry-lamp");
      await one.waitForTimeout(600);
      for (const hash of ["#m30", "#n30"]) {
        const two = await context.newPage();
        await two.goto(site.address + hash);
        await two.waitForFunction(() => { const r = document.querySelector(".hp-bar[data-measure='29']")?.getBoundingClientRect(); return r && r.bottom > 0 && r.top < innerHeight; });
      }
    } finally {
      await context.close();
    }
  });

  test("a system with its curves fits a laptop's window", () =>
    fresh({ viewport: { width: 1280, height: 720 } }, async (page) => {
      await chooseDemo(page, "quartet-below-the-weir");
      const [high, strip, bar] = [await page.evaluate(() => document.querySelectorAll("svg.hp-system")[1].getBoundingClientRect().height), await box(page, "#hp-whole"), await box(page, "#lp-player")];
      assert.ok(high <= bar.top - (strip.bottom - strip.top), `${high} px`);
    }));

  for (const format of ["A4", "Letter"]) {
    test(`a handout is one sheet, and the page prints as the report does: ${format}`, () =>
      fresh(desk, async (page) => {
        await chooseDemo(page, "quartet-below-the-weir");
        await click(page, 1);
        await page.click("#lp-share summary");
        const [download] = await Promise.all([page.waitForEvent("download"), page.click("[data-share=report]")]);
        await download.saveAs(file("handout.html"));
        await page.emulateMedia({ media: "print" });
        assert.deepEqual([await page.isVisible(".hp-above"), await page.isVisible("#lp-score .hp-onpaper")], [false, true]);
        assert.equal(await page.evaluate(() => document.adoptedStyleSheets[0].cssRules.length), 3);
        await page.emulateMedia({ media: null });
        await page.click("#lp-files-menu summary");
        const [poster] = await Promise.all([page.waitForEvent("download"), page.click("[data-file=poster]")]);
        await poster.saveAs(file("poster.html"));
        for (const name of ["poster", "handout"]) {
          await page.goto(pathToFileURL(file(`${name}.html`)).href);
          const pdf = await page.pdf({ format, landscape: name === "poster" });
          assert.equal(pdf.toString("latin1").match(/\/Type \/Page\b/g).length, 1, name);
        }
        await page.emulateMedia({ media: "print" });
        assert.ok(await page.isVisible(".hp-handout .hp-onpaper"));
      }));
  }

  test("measures, one part's staves, small staves and a home key can be chosen", () =>
    fresh(desk, async (page) => {
      await chooseDemo(page, "quartet-below-the-weir");
      const count = () => page.locator("svg.hp-system").count();
      const high = () => page.evaluate(() => document.querySelector("svg.hp-system").getBoundingClientRect().height);
      const [all, tall] = [await count(), await high()];
      await page.click("#lp-weights-menu summary");
      await page.selectOption("#lp-shown", "1");
      await page.waitForFunction((tall) => document.querySelector("svg.hp-system").getBoundingClientRect().height < tall * 0.8, tall);
      await whole(page);
      await page.selectOption("#lp-shown", "0");
      await page.check("#lp-small");
      await page.waitForFunction((all) => document.querySelectorAll("svg.hp-system").length < all, all);
      await whole(page);
      await page.fill("#lp-measures", "1-4");
      await page.keyboard.press("Tab");
      await page.waitForFunction(() => document.querySelectorAll("svg.hp-system").length === 1);
      await whole(page);
      await page.selectOption("#lp-home-key", "a");
      await page.waitForFunction(() => /^A minor/.test(document.querySelector("#lp-overview p").textContent));
    }));
});

/** Contrast (WCAG 2.2, relative luminance) of every drawn word against what the strip and the curves lie on. */
function contrasts() {
  const light = (c) => {
    const [r, g, b] = c.match(/[\d.]+/g).map(Number).map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const colour = (name) => { const e = document.createElement("i"); e.style.color = `var(${name})`; document.body.append(e); const c = getComputedStyle(e).color; e.remove(); return c; };
  const worst = {};
  for (const t of document.querySelectorAll(".hp-ribbons text, .hp-numerals text, .hp-phrases text, .hp-grid text, .hp-line-label, .hp-strip text")) {
    const ground = t.closest(".hp-badge-text") ? "--ink" : t.closest(".hp-ribbons") ? "--faint" : "--paper";
    const [a, b] = [light(getComputedStyle(t).fill), light(colour(ground))];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    const name = t.getAttribute("class") ?? t.parentNode.getAttribute("class");
    worst[name] = Math.min(worst[name] ?? 99, ratio);
  }
  return worst;
}

for (const colorScheme of ["light", "dark"]) {
  test(`drawn words have a contrast of 4.5 and more: ${colorScheme}`, () =>
    fresh({ ...desk, colorScheme }, async (page) => {
      await chooseDemo(page, "song-ferry-lamp");
      const found = await page.evaluate(contrasts);
      console.log(`# ${colorScheme}: least contrast ${Math.min(...Object.values(found)).toFixed(2)}`);
      assert.deepEqual(Object.entries(found).filter(([, r]) => r < 4.5), []);
    }));
}
