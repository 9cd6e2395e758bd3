// The page in a real browser: what a person sees, with which keys, and that nothing leaves the machine.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { openPage, sizes, startBrowser, startDemo, week } from "./stage.mjs";
import { barriers, look, text, tour, width } from "./stage_views.mjs";

let browser;
let demo;

before(async () => {
    [browser, demo] = await Promise.all([startBrowser(), startDemo(["--speed", "600", ...week])]);
});

after(async () => {
    await browser?.close();
    await demo?.stop();
});

const open = (t, size, wear, more) => look(t, browser, demo.address, size, wear, more);

// Colours are checked in each look, room for the finger at each size.
const withAxe = new Set(["phone light", "phone dark", "phone night", "small light", "desk dark"]);
for (const size of Object.keys(sizes)) {
    for (const wear of ["light", "dark", "night"]) {
        const axe = withAxe.has(`${size} ${wear}`);
        test(`${size}, ${wear}: every view${axe ? ", and nothing in the way of anyone" : ""}`, (t) =>
            tour(t, browser, demo.address, size, wear, axe));
    }
}

test("the figures are there in words", async (t) => {
    const { page } = await open(t, "phone");
    assert.match(await text(page, ".figure"), /^\d{1,3}\s*%\s*±\s*\d+/);
    assert.match(await text(page, ".flow"), /(\d\sA (in|out)|nothing in or out)/);
    assert.match(await text(page, ".summary"), /Ah in, .*Ah out\./);
    assert.equal(await page.locator(".level line").count(), 100);
});

for (const size of ["phone", "small"])
    test(`every figure on the first screen: ${size}`, async (t) => {
        const { page } = await open(t, size);
        const ways = await page.locator(".ways").boundingBox();
        for (const part of [".level", ".figure", ".reserve", ".said", ".flow"]) {
            const box = await page.locator(part).last().boundingBox();
            assert.ok(box.y >= 0 && box.y + box.height <= ways.y, part);
        }
    });

test("letters twice as large fit too", async (t) => {
    const { page } = await open(t, "phone");
    const session = await page.context().newCDPSession(page);
    await session.send("Page.enable");
    await session.send("Page.setFontSizes", { fontSizes: { standard: 32 } }).catch(() => t.skip("this browser cannot"));
    await page.reload();
    await page.waitForSelector(".plot canvas");
    assert.equal(await page.evaluate(() => getComputedStyle(document.documentElement).fontSize), "32px");
    assert.equal(await width(page), sizes.phone.viewport.width);
});

test("the figures live, until they are held still", async (t) => {
    const { page } = await open(t, "phone");
    const changes = async () => {
        const then = await text(page, ".when");
        return page
            .waitForFunction((old) => document.querySelector(".when").innerText !== old, then, { timeout: 3000 })
            .then(() => true, () => false);
    };
    assert.equal(await changes(), true);
    await page.getByRole("button", { name: "hold still" }).click();
    assert.equal(await changes(), false);
    await page.getByRole("button", { name: "go on" }).click();
    assert.equal(await changes(), true);
});

test("the last day is read by keys, and is there as a table", async (t) => {
    const slow = await startDemo(["--speed", "1", ...week]);
    t.after(() => slow.stop());
    const { page } = await look(t, browser, slow.address, "desk");
    const chart = page.getByRole("slider");
    await chart.focus();
    const readings = [];
    for (const key of ["End", "ArrowLeft", "PageUp", "Home"]) {
        await page.keyboard.press(key);
        readings.push(await chart.getAttribute("aria-valuetext"));
        assert.equal(await text(page, ".reading"), readings.at(-1));
    }
    assert.equal(new Set(readings).size, 4);
    for (const reading of readings) assert.match(reading, /\d\d:\d\d: (\d+\s%\s±\s\d+|not measured)/);

    await page.getByText("The same as a table").click();
    await page.waitForSelector(".day tbody tr");
    const rows = await page.locator(".day tbody tr").allInnerTexts();
    assert.ok(rows.length >= 24, `${rows.length} hours`);
    assert.match(rows[0], /\d+\s%\s±\s\d+/);
});

test("every figure can be asked why", async (t) => {
    const { page } = await open(t, "phone");
    const asked = page.locator(".why");
    const count = await asked.count();
    assert.ok(count >= 8, `${count} figures`);
    for (let i = 0; i < count; ++i) {
        await asked.nth(i).click();
        await page.waitForSelector(".reason dd");
        for (const part of await page.locator(".reason dd").allInnerTexts()) assert.ok(part.length > 10, part);
        if (i === 0) assert.deepEqual(await barriers(page), []);
        await page.keyboard.press("Escape");
        await page.waitForSelector("dialog", { state: "detached" });
    }
});

test("the look that was chosen stays", async (t) => {
    const { page } = await open(t, "phone");
    const paper = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const light = await paper();
    await page.getByLabel("Look").selectOption("night");
    const night = await paper();
    assert.notEqual(night, light);
    const [red, green, blue] = night.match(/\d+/g).map(Number);
    assert.ok(red + green + blue < 24, night);
    await page.reload();
    await page.waitForSelector(".plot canvas");
    assert.equal(await paper(), night);
});

test("a view has an address, and the way back leads back", async (t) => {
    const { page } = await open(t, "phone");
    await page.getByRole("link", { name: "what uses it" }).click();
    await page.waitForSelector(".takers");
    assert.match(page.url(), /#\/uses$/);
    assert.equal(await page.evaluate(() => document.activeElement.id), "main", "who reads by ear is taken there");
    await page.goBack();
    await page.waitForSelector(".figure");
    assert.equal(await page.locator(".ways a[aria-current]").innerText().then((name) => name.replace(/\s+/g, " ")), "right now");
});

test("one stream for all pages of a browser", async (t) => {
    const { page } = await open(t, "phone");
    const streams = [];
    const other = await page.context().newPage();
    for (const one of [page, other])
        one.on("request", (request) => request.url().endsWith("/stream") && streams.push(request.url()));
    await other.goto(demo.address);
    await other.waitForSelector(".figure");
    const then = await text(other, ".when");
    await other.waitForFunction((old) => document.querySelector(".when").innerText !== old, then, { timeout: 5000 });
    assert.deepEqual(streams, [], "the second page is told by the first");
});

test("what is old is said to be old, and is new again when the server is back", async (t) => {
    const mortal = await startDemo(["--speed", "1", ...week]);
    const page = await openPage(browser, "about:blank", "phone", "light");
    t.after(() => page.context().close());
    await page.clock.install();
    await page.goto(mortal.address);
    await page.waitForSelector(".figure");
    await page.clock.runFor(3000);
    assert.equal(await page.locator(".is-old").count(), 0);
    await mortal.stop();
    await page.clock.runFor(60_000);
    assert.match(await text(page, ".is-old"), /^Old: nothing new for \d+ /);
    const port = new URL(mortal.address).port;
    const reborn = await startDemo(["--speed", "1", "--port", port, ...week]);
    t.after(() => reborn.stop());
    for (let i = 0; i < 40 && (await page.locator(".is-old").count()) > 0; ++i) {
        await page.clock.runFor(1000);
        await new Promise((resolve) => setTimeout(resolve, 200));
    }
    assert.equal(await page.locator(".is-old").count(), 0);
});

test("a screen reader is told of the state, not of each sample", async (t) => {
    const { page } = await open(t, "phone");
    const status = page.locator("p.unseen[role=status]");
    await page.waitForFunction(() => document.querySelector("p.unseen[role=status]").innerText !== "");
    assert.match(await status.innerText(), /^\d+ percent left, give or take \d+\./);
    const first = await status.innerText();
    await page.waitForTimeout(2000); // twenty minutes of the van's life
    assert.equal(await status.innerText(), first);
});

test("values that change move nothing", async (t) => {
    const { page } = await open(t, "phone");
    // What comes first makes room for itself; only then nothing moves.
    await page.waitForFunction(() => /out\./.test(document.querySelector(".day .summary")?.innerText ?? ""));
    await page.waitForTimeout(1000);
    const moved = await page.evaluate(
        () =>
            new Promise((done) => {
                let sum = 0;
                const what = [];
                const watch = new PerformanceObserver((list) => {
                    for (const entry of list.getEntries()) {
                        sum += entry.value;
                        if (entry.value > 0.004) what.push(...entry.sources.map((s) => (s.node?.outerHTML ?? "text").slice(0, 80)));
                    }
                });
                watch.observe({ type: "layout-shift", buffered: false });
                setTimeout(() => done({ sum, what }), 4000); // forty minutes of the van's life
            }),
    );
    assert.ok(moved.sum < 0.02, `${moved.sum}: ${moved.what}`);
});

for (const size of ["phone", "small"])
    test(`a large power moves nothing: ${size}`, async (t) => {
        const { page } = await open(t, size);
        await page.getByRole("button", { name: "hold still" }).click();
        const tops = await page.evaluate(() => {
            const range = document.querySelector(".flow .range");
            return ["0 W", "1,136 W at 13.03 V, -12 °C"].map((words) => {
                range.textContent = words;
                return document.querySelector(".day").getBoundingClientRect().top;
            });
        });
        assert.equal(tops[1], tops[0]);
        assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
    });

/** A page whose server says that nothing was ever measured. */
async function firstRun(t, troubles = []) {
    const page = await openPage(browser, "about:blank", "phone", "light");
    t.after(() => page.context().close());
    const system = { name: "New Van", nominal_voltage_v: 12, chemistry: "lfp", design_capacity_ah: 100, reserve: 0.2 };
    await page.route("**/api/v1/now", (route) => route.fulfill({ json: { system, measured: false, beginning: null, troubles } }));
    await page.route("**/api/v1/stream", (route) => route.abort());
    await page.goto(demo.address);
    return page;
}

test("before the first reading it says what can be done", async (t) => {
    const page = await firstRun(t);
    await page.getByRole("heading", { name: "Nothing has been measured yet" }).waitFor();
    assert.deepEqual(await barriers(page), []);
    assert.match(await text(page, ".ways-on"), /amphora demo/);
    await page.getByRole("link", { name: "looking back" }).click();
    await page.getByRole("heading", { name: "Nothing to look back on yet" }).waitFor();
    await page.getByRole("link", { name: "import a log" }).click();
    await page.getByRole("heading", { name: "Bring a log in" }).waitFor();
});

test("what is wrong with the record is said before anything else", async (t) => {
    const page = await firstRun(t, ["The disk is nearly full: 0.2 MB are free beside van.amphora."]);
    assert.match(await page.getByRole("alert").first().innerText(), /The disk is nearly full/);
    assert.deepEqual(await barriers(page), []);
});

test("a server that cannot be reached is said, with what to look at", async (t) => {
    const page = await openPage(browser, "about:blank", "phone", "light");
    t.after(() => page.context().close());
    await page.route("**/api/**", (route) => route.abort());
    await page.goto(demo.address);
    await page.waitForSelector(".is-old");
    assert.match(await text(page, ".is-old"), /cannot be reached\. Is it on/);
    await page.getByRole("link", { name: "the record" }).click();
    await page.getByRole("button", { name: "try again" }).first().waitFor();
    await page.unroute("**/api/**");
    await page.getByRole("button", { name: "try again" }).first().click();
    await page.waitForSelector(".facts dd");
});

test("all of it by keys alone", async (t) => {
    const { page } = await open(t, "desk");
    const focused = () => page.evaluate(() => (document.activeElement.getAttribute("aria-label") ?? document.activeElement.innerText).replace(/\s+/g, " ").trim());
    const order = [];
    for (let i = 0; i < 8; ++i) {
        await page.keyboard.press("Tab");
        order.push(await focused());
    }
    assert.deepEqual(order, ["to the view", "hold still", "right now", "looking back", "what uses it", "the system", "the record", "why? what is left"]);
    await page.keyboard.press("Enter");
    await page.waitForSelector(".reason dd");
    await page.keyboard.press("Escape");
    assert.equal(await focused(), "why? what is left", "the way back is where it was left");
});
