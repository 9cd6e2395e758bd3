// The page in a real browser: what a person sees, with which keys, and that nothing leaves the machine.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { openPage, packageFile, sizes, startBrowser, startDemo, week } from "./stage.mjs";

let browser;
let demo;

before(async () => {
    [browser, demo] = await Promise.all([startBrowser(), startDemo(["--speed", "600", ...week])]);
});

after(async () => {
    await browser?.close();
    await demo?.stop();
});

/** A page at one size that has its figures and its chart; closed when the test ends. */
async function look(t, size, colour = "light", more = {}) {
    const problems = [];
    const requests = [];
    const page = await openPage(browser, "about:blank", size, colour, more);
    t.after(() => page.context().close());
    page.on("console", (message) => message.type() === "error" && problems.push(message.text()));
    page.on("pageerror", (error) => problems.push(String(error)));
    page.on("request", (request) => requests.push(request.url()));
    await page.goto(demo.address);
    await page.waitForSelector(".plot canvas");
    return { page, problems, requests };
}

/** How wide the content is; wider than the screen means that it can be pushed sideways. */
const width = (page) => page.evaluate(() => document.documentElement.scrollWidth);

const text = (page, selector) => page.locator(selector).first().innerText();

for (const size of Object.keys(sizes)) {
    for (const colour of ["light", "dark"]) {
        test(`${size}, ${colour}: figures, no errors, nothing sideways, nothing from elsewhere`, async (t) => {
            const { page, problems, requests } = await look(t, size, colour);
            assert.match(await text(page, ".figure"), /^\d{1,3}\s*%\s*±\s*\d+/);
            assert.match(await text(page, ".flow"), /(\d\sA (in|out)|nothing in or out)/);
            assert.match(await text(page, ".summary"), /Ah in, .*Ah out\.$/);
            assert.equal(await page.locator(".level line").count(), 100);
            assert.equal(await width(page), sizes[size].viewport.width);
            assert.deepEqual(problems, []);
            assert.deepEqual(requests.filter((url) => !url.startsWith(demo.address)), []);
        });

        test(`${size}, ${colour}: nothing in the way of anyone (axe)`, async (t) => {
            const { page } = await look(t, size, colour);
            for (const details of await page.locator("summary").all()) await details.click();
            await page.evaluate(readFileSync(packageFile("axe-core"), "utf8"));
            const { violations } = await page.evaluate(() => axe.run());
            assert.deepEqual(violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join("; ")}`), []);
        });
    }
}

test("every figure on a phone's first screen", async (t) => {
    const { page } = await look(t, "phone");
    for (const part of [".level", ".figure", ".reserve", ".said", ".flow"]) {
        const box = await page.locator(part).last().boundingBox();
        assert.ok(box.y >= 0 && box.y + box.height <= sizes.phone.viewport.height, part);
    }
});

test("letters twice as large fit too", async (t) => {
    const { page } = await look(t, "phone");
    const session = await page.context().newCDPSession(page);
    await session.send("Page.enable");
    await session.send("Page.setFontSizes", { fontSizes: { standard: 32 } }).catch(() => t.skip("this browser cannot"));
    await page.reload();
    await page.waitForSelector(".plot canvas");
    assert.equal(await page.evaluate(() => getComputedStyle(document.documentElement).fontSize), "32px");
    assert.equal(await width(page), sizes.phone.viewport.width);
});

test("the figures live, until they are held still", async (t) => {
    const { page } = await look(t, "phone");
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

test("the chart is read by keys", async (t) => {
    const slow = await startDemo(["--speed", "1", ...week]);
    t.after(() => slow.stop());
    const page = await openPage(browser, slow.address, "desk", "light");
    t.after(() => page.context().close());
    await page.waitForSelector(".plot canvas");
    const chart = page.getByRole("slider");
    await chart.focus();
    const readings = [];
    for (const key of ["End", "ArrowLeft", "PageUp", "Home"]) {
        await page.keyboard.press(key);
        readings.push(await chart.getAttribute("aria-valuetext"));
        assert.equal(await text(page, ".reading"), readings.at(-1));
    }
    assert.equal(new Set(readings).size, 4);
    for (const reading of readings) assert.match(reading, /\d\d:\d\d: \d+\s%\s±\s\d+/);
});

test("the chart is there as a table", async (t) => {
    const { page } = await look(t, "phone");
    await page.getByText("The same as a table").click();
    const rows = await page.locator(".day tbody tr").allInnerTexts();
    assert.ok(rows.length >= 24, `${rows.length} hours`);
    assert.match(rows[0], /\d+\s%\s±\s\d+/);
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
    for (let i = 0; i < 20 && (await page.locator(".is-old").count()) > 0; ++i) {
        await page.clock.runFor(1000);
        await new Promise((resolve) => setTimeout(resolve, 200));
    }
    assert.equal(await page.locator(".is-old").count(), 0);
});

test("a screen reader is told of the state, not of each sample", async (t) => {
    const { page } = await look(t, "phone");
    const status = page.locator("[role=status]");
    await page.waitForFunction(() => document.querySelector("[role=status]").innerText !== "");
    assert.match(await status.innerText(), /^\d+ percent left, give or take \d+\./);
    const first = await status.innerText();
    await page.waitForTimeout(2000); // twenty minutes of the van's life
    assert.equal(await status.innerText(), first);
});
