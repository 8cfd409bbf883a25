// The page as a person meets it: open, correct, add, undo, reload, and see it in the file.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { launch, list, packages, Review } from "./bench.mjs";

const axe = readFileSync(packages.resolve("axe-core/axe.min.js"), "utf8");
const browser = await launch();
let [passed, failed] = [0, 0];
let shown = null;

/** Runs one test on a page of its own; what the page complains of fails it. */
async function test(name, content, run, { size = [1280, 800], scheme = "light", media = false } = {}) {
  const review = await new Review(content, { media }).start();
  const context = await browser.newContext({ viewport: { width: size[0], height: size[1] }, colorScheme: scheme, bypassCSP: false });
  const page = await context.newPage();
  page.setDefaultTimeout(8000);
  shown = page;
  const complaints = [];
  page.on("console", (m) => m.type() === "error" && complaints.push(m.text()));
  page.on("pageerror", (e) => complaints.push(e.message));
  try {
    await page.goto(review.address);
    await page.waitForFunction(() => document.getElementById("progress").textContent.includes("looked at"));
    await run(page, review, complaints);
    assert.deepEqual(complaints, []);
    passed += 1;
    console.log(`ok   ${name}`);
  } catch (error) {
    failed += 1;
    console.log(`FAIL ${name}\n${error.stack}`);
    if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/failed-${failed}.png` });
  }
  await context.close();
  await review.end();
}

/** Waits until the file says so, and then until the page has taken what was saved: the file is written before the page is told. */
async function until(what, message) {
  const end = Date.now() + 6000;
  while (!what()) {
    if (Date.now() > end) assert.fail(`never happened: ${message}`);
    await new Promise((done) => setTimeout(done, 40));
  }
  await shown.waitForSelector('#rows:not([aria-busy="true"])', { state: "attached" });
}

const text = (page, id) => page.locator(id).innerText();
const chosen = (page) => page.locator('#rows [aria-selected="true"]').getAttribute("data-id");
const focusRows = (page) => page.locator("#rows").focus();

await test("opens with the least sure first, and shows its words", list(31, 600), async (page) => {
  assert.equal(await text(page, "#progress"), "0 of 31 looked at");
  const sure = await page.locator("#rows .sure").allInnerTexts();
  const numbers = sure.map((s) => Number(/(\d+) %/.exec(s)[1]));
  assert.deepEqual(numbers, [...numbers].sort((a, b) => a - b));
  assert.match(await text(page, ".words-said"), /the sill number \d+ is chipped/);
  await page.selectOption("#order", "walk");
  const whens = await page.locator("#rows .when").allInnerTexts();
  const seconds = whens.map((w) => w.split(":").reduce((s, p) => s * 60 + Number(p), 0));
  assert.deepEqual(seconds, [...seconds].sort((a, b) => a - b));
});

await test("corrects, adds, undoes, reloads, and all is in the file", list(5, 100), async (page, review) => {
  await page.locator('#rows [data-id="i3"]').click();
  await page.selectOption("#field-work", "replace");
  await until(() => review.item("i3").work === "replace", "work in the file");
  await page.fill("#field-element", "window stool");
  await page.press("#field-element", "Enter");
  await until(() => review.item("i3").element === "window stool", "part in the file");
  await page.fill("#field-area", "Upstairs > Loft");
  await page.press("#field-area", "Enter");
  await until(() => JSON.stringify(review.item("i3").area) === '["Upstairs","Loft"]', "area in the file");
  await page.fill("#field-measure", "1 1/2 in width");
  await page.press("#field-measure", "Enter");
  await until(() => review.item("i3").measure?.value === 1.5 && review.item("i3").measure.of === "width", "size in the file");
  await page.click("#add");
  await page.fill("#ask-at", "0:42");
  await page.fill("#ask-element", "outlet cover");
  await page.press("#ask-element", "Tab");
  assert.equal(await page.inputValue("#ask-trade"), "electrician");
  await page.selectOption("#ask-work", "install");
  await page.click('dialog button[type="submit"]');
  await until(() => review.read().items.length === 6, "the new item in the file");
  const added = review.read().items.find((i) => i.element === "outlet cover");
  assert.equal(added.said[0].start, 42);
  assert.deepEqual(added.area, ["Living room"]);
  assert.equal(added.number, 6);
  await page.waitForSelector(`#rows [data-id="${added.id}"][aria-selected="true"]`);
  await page.click("#undo");
  await until(() => review.read().items.length === 5, "the item gone again");
  await page.click("#undo");
  await until(() => review.item("i3").measure === null, "the size gone again");
  await page.reload();
  await page.waitForSelector('#rows [data-id="i3"]');
  await page.locator('#rows [data-id="i3"]').click();
  assert.equal(await page.inputValue("#field-element"), "window stool");
  assert.equal(await page.inputValue("#field-work"), "replace");
  assert.equal(await text(page, "#progress"), "1 of 5 looked at");
  // What the program does not know stays in the file.
  assert.deepEqual(review.read().some_other_key, { of: "another program" });
  assert.equal(review.item("i3").kept_by_others, 2);
});

await test("goes through 35 items with the keyboard alone", list(35, 600), async (page, review) => {
  await focusRows(page);
  await page.keyboard.press("w");
  await page.waitForFunction(() => document.activeElement.id === "field-work");
  await page.keyboard.type("rep");
  await page.keyboard.press("Enter");
  const first = await chosen(page);
  await until(() => ["repair", "replace"].includes(review.item(first).work), "work chosen by its letters");
  await focusRows(page);
  await page.keyboard.press("x");
  await page.waitForFunction(() => document.activeElement.id === "field-text");
  await page.keyboard.type("Mend the sill");
  await page.keyboard.press("Enter");
  await until(() => review.item(first).text === "Mend the sill", "the wording");
  await page.keyboard.press("g");
  await until(() => review.item(first).urgent === true, "pressing");
  for (let i = 1; i <= 34; i += 1) {
    // The first was changed, so it counts as looked at.
    await page.keyboard.press(i === 1 ? "j" : "a");
    if (i > 1) await page.waitForFunction((n) => document.getElementById("progress").textContent.startsWith(`${n} `), i);
  }
  const last = await chosen(page);
  await page.keyboard.press("d");
  await until(() => !review.item(last), "the last one dropped");
  await page.waitForFunction(() => document.getElementById("progress").textContent === "35 of 35 looked at");
  await page.keyboard.press("u");
  await until(() => review.item(last), "the last one back");
  await page.waitForSelector(`#rows [data-id="${last}"][aria-selected="true"]`);
  await page.keyboard.press("?");
  await page.waitForSelector("dialog[open]");
  await page.keyboard.press("Escape");
  await page.waitForFunction(() => !document.querySelector("dialog"));
  assert.equal(await page.evaluate(() => document.activeElement.id), "rows");
});

await test("drops and brings back, splits, joins, keeps words private", list(4, 100), async (page, review) => {
  await page.locator('#rows [data-id="i2"]').click();
  await page.getByRole("button", { name: "Drop" }).click();
  await until(() => !review.item("i2"), "dropped");
  await page.locator('#rows [data-id="i2"]').click();
  await page.getByRole("button", { name: "Bring back" }).click();
  await until(() => review.item("i2"), "back");
  await page.locator('#rows [data-id="i1"]').click();
  await page.getByRole("button", { name: "Join" }).click();
  await page.fill("#ask-find", "2");
  await page.locator("dialog .choice input").first().check();
  await page.click('dialog button[type="submit"]');
  await until(() => review.item("i1").said.length === 2 && !review.item("i2"), "joined");
  await page.getByRole("button", { name: "Split" }).click();
  await page.fill("#ask-element", "casing");
  await page.click('dialog button[type="submit"]');
  await until(() => review.read().items.some((i) => i.element === "casing"), "split");
  const [one, other] = [review.item("i1"), review.read().items.find((i) => i.element === "casing")];
  assert.deepEqual([one.said.length, other.said.length], [1, 1]);
  assert.notEqual(one.said[0].text, other.said[0].text);
  assert.notEqual(one.number, other.number);
  await page.locator('#rows [data-id="i1"]').click();
  await page.getByRole("button", { name: "keep private" }).first().click();
  await until(() => JSON.stringify(review.read()).includes('"private":true'), "private");
  await page.getByRole("button", { name: "kept private" }).first().click();
  await until(() => !JSON.stringify(review.read()).includes('"private":true'), "let go again");
});

await test("makes an item of what was passed over", list(2, 60), async (page, review) => {
  await page.click("#show-passed");
  assert.match(await text(page, ".head"), /no building part near/);
  await page.getByRole("button", { name: "Make it an item" }).click();
  await until(() => review.read().items.length === 3, "the item");
  assert.equal(review.read().passed_over.length, 0);
  assert.ok(review.read().items.some((i) => i.said[0].text === "the sill number 0 is chipped"));
  assert.equal(await page.locator("#show-items").getAttribute("aria-pressed"), "true");
  await page.waitForSelector("#field-element:focus, #rows:focus, body");
  await focusRows(page);
  await page.keyboard.press("u");
  await until(() => review.read().passed_over.length === 1 && review.read().items.length === 2, "undone");
});

await test("the stick and the rows light each other", list(12, 300), async (page) => {
  const tops = () => page.evaluate(() => [document.querySelector("#stick .light").style.top, document.querySelector("#stick .tick.chosen").style.top]);
  await page.locator('#rows [data-id="i7"]').click();
  let [light, tick] = await tops();
  assert.equal(light, tick);
  const before = light;
  const box = await page.locator("#stick").boundingBox();
  const at = (2.5 / 12) * box.height;
  await page.mouse.click(box.x + box.width / 2, box.y + at);
  assert.equal(await chosen(page), "i3");
  [light, tick] = await tops();
  assert.equal(light, tick);
  assert.notEqual(light, before);
  assert.match(await page.locator("#stick").getAttribute("aria-valuetext"), /1:02, Kitchen, 3 /);
  await page.locator("#stick").focus();
  await page.keyboard.press("ArrowDown");
  assert.equal(await chosen(page), "i4");
  // Beside a tick a time is marked, and “Add” takes it.
  await page.mouse.click(box.x + 20, box.y + (2 / 12) * box.height);
  await page.click("#add");
  assert.equal(await page.inputValue("#ask-at"), "0:50");
});

await test("plays from two seconds before", list(3, 60), async (page) => {
  await page.locator('#rows [data-id="i2"]').click();
  await page.waitForFunction(() => document.querySelector("audio").readyState > 0);
  await page.evaluate(() => {
    const audio = document.querySelector("audio");
    audio.addEventListener("seeked", () => { window.sought = window.sought ?? audio.currentTime; });
  });
  await page.locator(".words-said button.play").click();
  await page.waitForFunction(() => window.sought !== undefined);
  const sought = await page.evaluate(() => window.sought);
  assert.ok(Math.abs(sought - 28) < 0.5, `sought ${sought}`);
  await page.waitForFunction(() => !document.querySelector("audio").paused && document.querySelector("audio").currentTime > 28);
  await focusRows(page);
  await page.keyboard.press(" ");
  await page.waitForFunction(() => document.querySelector("audio").paused);
}, { media: true });

await test("shows what comes from outside and loses nothing", list(3, 60), async (page, review, complaints) => {
  await page.locator('#rows [data-id="i1"]').click();
  await page.fill("#field-where", "half typed");
  const outside = review.read();
  const other = structuredClone(outside.items[2]);
  Object.assign(other, { id: "zz", number: 4, text: "Came with a later walk" });
  outside.items.push(other);
  outside.items[1].trade = "tile";
  outside.items[0].count = 7;
  review.write(outside);
  await page.waitForSelector('#rows [data-id="zz"]');
  assert.match(await text(page, "#notice"), /1 item new \(4\), 2 items changed \(1, 2\)/);
  assert.equal(await page.inputValue("#field-where"), "half typed");
  assert.equal(await page.inputValue("#field-count"), "7");
  assert.equal(await chosen(page), "i1");
  await page.press("#field-where", "Enter");
  await until(() => review.item("i1").where === "half typed", "what was typed");
  const now = review.read();
  assert.equal(now.items.length, 4);
  assert.equal(now.items.find((i) => i.id === "i2").trade, "tile");
  assert.equal(now.items.find((i) => i.id === "i1").count, 7);
  // A file that is broken for a while is told, what could not be saved too, and the list is taken up again.
  const trouble = (says) => page.waitForFunction((t) => (t ? document.getElementById("trouble").textContent.includes(t) : !document.getElementById("trouble").textContent), says);
  review.write("half a file");
  await trouble("list.json: ");
  await page.locator('#rows [data-id="i2"]').click();
  await page.selectOption("#field-work", "seal");
  await trouble("Not saved");
  review.write(now);
  await page.selectOption("#field-work", "clean");
  await until(() => review.item("i2").work === "clean", "saved again");
  await trouble("");
  assert.ok(complaints.every((c) => c.includes("500")));
  complaints.length = 0;
});

await test("HTML in a transcript stays text", list(3, 60, (i) => `<img src=x onerror="document.title='owned'"><b>bold ${i}</b><script>document.title='owned'</script>`), async (page) => {
  await page.waitForTimeout(300);
  assert.match(await text(page, ".words-said"), /<img src=x onerror="document.title='owned'"><b>bold/);
  await page.click("#show-passed");
  assert.match(await text(page, "#rows"), /<b>bold 0<\/b>/);
  assert.equal(await page.locator("img, #rows b >> text=bold, section script").count(), 0);
  assert.notEqual(await page.title(), "owned");
});

await test("nothing to review is said", list(0, 60), async (page) => {
  assert.match(await text(page, "#empty"), /nothing was said that asks for work/);
});

await test("a field that says nothing is not saved", list(2, 60), async (page, review) => {
  await page.locator('#rows [data-id="i1"]').click();
  await page.fill("#field-count", "many");
  await page.press("#field-count", "Enter");
  await page.waitForFunction(() => document.getElementById("trouble").textContent.includes("many"));
  assert.equal(review.item("i1").count, null);
  await page.fill("#field-count", "3");
  await page.press("#field-count", "Enter");
  await until(() => review.item("i1").count === 3, "the number");
});

await test("says that the program has ended", list(2, 60), async (page, review, complaints) => {
  assert.equal(await review.stop(), 0);
  await page.waitForFunction(() => document.getElementById("trouble").textContent.includes("has ended"));
  complaints.length = 0;
});

await test("a time that is none is told in the dialog", list(2, 60), async (page, review) => {
  await page.click("#add");
  await page.fill("#ask-at", "2:00");
  await page.click('dialog button[type="submit"]');
  assert.match(await text(page, "dialog .wrong-note"), /2:00.* is no time of this walk/);
  await page.fill("#ask-at", "0:30");
  await page.fill("#ask-element", "handrail");
  await page.press("#ask-element", "Enter");
  await until(() => review.read().items.length === 3, "the item");
  await page.waitForFunction(() => !document.querySelector("dialog") && !document.getElementById("trouble").textContent);
});

await test("nothing jumps while deciding", list(35, 600), async (page) => {
  const where = () => page.evaluate(() => ["field-element", "field-text", "rows"].map((id) => document.getElementById(id).getBoundingClientRect().top));
  const before = await where();
  await focusRows(page);
  const order = await page.locator("#rows li").evaluateAll((all) => all.map((r) => r.dataset.id));
  for (const key of ["a", "a", "j", "k", "d", "u"]) {
    await page.keyboard.press(key);
    await page.waitForTimeout(120);
    assert.deepEqual(await where(), before, `after ${key}`);
  }
  assert.deepEqual(await page.locator("#rows li").evaluateAll((all) => all.map((r) => r.dataset.id)), order);
});

/** What axe finds wrong, as lines. */
async function faults(page) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  return found.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(" ")} ${n.failureSummary.split("\n")[1] || ""}`));
}

for (const scheme of ["light", "dark"]) {
  for (const size of [[1280, 800], [768, 1024], [390, 844]]) {
    await test(`names, roles and contrast, ${size[0]} px, ${scheme}`, list(35, 600), async (page, _, complaints) => {
      assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), size[0]);
      await page.locator("#rows").focus();
      await page.keyboard.press("d");
      await page.keyboard.press("a");
      await page.waitForFunction(() => document.getElementById("progress").textContent.startsWith("2 "));
      assert.deepEqual(await faults(page), []);
      await page.keyboard.press("n");
      await page.waitForSelector("dialog[open]");
      assert.deepEqual(await faults(page), []);
      await page.keyboard.press("Escape");
      await page.keyboard.press("2");
      assert.deepEqual(await faults(page), []);
      complaints.length = 0;
    }, { size, scheme, media: true });
  }
}

await browser.close();
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed || !passed ? 1 : 0);
