// Looking back in a real browser: moved by keys, buttons and fingers; bars; one time laid over another.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { startBrowser, startDemo } from "./stage.mjs";
import { go, look, text } from "./stage_views.mjs";

let browser;
let demo;

before(async () => {
    [browser, demo] = await Promise.all([
        startBrowser(),
        startDemo(["--speed", "1", "--until", "2026-03-07T16:13:00Z", "--years", "0.12"]),
    ]);
});

after(async () => {
    await browser?.close();
    await demo?.stop();
});

async function back(t, size) {
    const { page, problems } = await look(t, browser, demo.address, size);
    await go(page, "back");
    await page.waitForSelector(".plot canvas");
    t.after(() => assert.deepEqual(problems, []));
    return page;
}

/** The time that is shown, in seconds, as the address says it once it has come to rest. */
async function shown(page) {
    await page.waitForTimeout(500);
    const query = new URLSearchParams(new URL(page.url()).hash.split("?")[1]);
    return { from: Number(query.get("from")), to: Number(query.get("to")), length: Number(query.get("to")) - Number(query.get("from")) };
}

test("it is moved and stretched by keys", async (t) => {
    const page = await back(t, "desk");
    const week = await shown(page);
    assert.ok(Math.abs(week.length - 7 * 86400) < 60);
    await page.getByRole("slider", { name: "How much was left" }).focus();
    await page.keyboard.press("+");
    const closer = await shown(page);
    assert.ok(Math.abs(closer.length / week.length - 0.5) < 0.02);
    await page.keyboard.press("Shift+ArrowLeft");
    const earlier = await shown(page);
    assert.ok(earlier.to < closer.to && Math.abs(earlier.length - closer.length) < 60);
    await page.keyboard.press("-");
    assert.ok((await shown(page)).length > 1.9 * earlier.length);
    await page.keyboard.press("ArrowLeft");
    assert.match(await text(page, ".past .reading"), /\d+\s%\s±\s\d+/);
});

test("and by buttons, without any gesture; an hour is the least", async (t) => {
    const page = await back(t, "small");
    for (let i = 0; i < 12; ++i) await page.getByRole("button", { name: "closer" }).click();
    assert.equal((await shown(page)).length, 3600);
    await page.getByRole("radio", { name: "all", exact: true }).check();
    const all = await shown(page);
    assert.ok(all.length > 40 * 86400, `${all.length / 86400} days`);
    await page.getByRole("button", { name: "later" }).click();
    assert.ok((await shown(page)).to < all.to + 2 * 86400, "it does not leave the record");
});

test("two fingers stretch it, one drags it", async (t) => {
    const page = await back(t, "phone");
    const before = await shown(page);
    const box = await page.locator(".past .plot").boundingBox();
    const session = await page.context().newCDPSession(page);
    const y = box.y + 100;
    const touch = (type, ...xs) =>
        session.send("Input.dispatchTouchEvent", { type, touchPoints: xs.map((x, id) => ({ x: box.x + x, y, id })) });
    await touch("touchStart", 150, 230);
    for (let i = 1; i <= 5; ++i) await touch("touchMove", 150 - 8 * i, 230 + 8 * i);
    await touch("touchEnd");
    const stretched = await shown(page);
    assert.ok(stretched.length < 0.7 * before.length, `${stretched.length / before.length}`);
    await touch("touchStart", 120);
    for (let i = 1; i <= 5; ++i) await touch("touchMove", 120 + 20 * i);
    await touch("touchEnd");
    let dragged = await shown(page);
    for (let i = 0; i < 50 && dragged.from === stretched.from; ++i) {
        await page.waitForTimeout(20); // it is drawn with the next frame
        dragged = await shown(page);
    }
    assert.ok(dragged.from < stretched.from - 3600, "what is earlier comes in from the left");
    assert.ok(Math.abs(dragged.length - stretched.length) < 60);
});

test("in and out by days and weeks, as bars, in words and as a table", async (t) => {
    const page = await back(t, "phone");
    await page.getByRole("radio", { name: "month", exact: true }).check();
    await page.getByRole("radio", { name: "by week" }).check();
    await page.waitForFunction(() => /^[5-6] weeks/.test(document.querySelector(".in-out .summary").innerText));
    assert.ok((await page.locator(".bars rect.in").count()) >= 5);
    await page.getByRole("slider", { name: "In and out" }).focus();
    await page.keyboard.press("Home");
    assert.match(await text(page, ".in-out .reading"), /Ah in, .*Ah out$/);
    await page.locator(".in-out summary").click();
    await page.waitForSelector(".in-out tbody tr");
    assert.ok((await page.locator(".in-out tbody tr").count()) >= 5);
});

test("another time is laid over it, and said in words", async (t) => {
    const page = await back(t, "desk");
    await page.getByLabel("Lay over it").selectOption("before");
    await page.waitForSelector(".key.over");
    assert.match(await page.locator(".past .summary").last().innerText(), /^Laid over it, .*Ah in, .*Ah out/);
});

test("the words are those of the time that is shown", async (t) => {
    const page = await back(t, "phone");
    await page.getByRole("radio", { name: "day", exact: true }).check();
    await page.waitForTimeout(600);
    const { from, to } = await shown(page);
    const span = await (await fetch(`${demo.address}api/v1/span?from=${from}&to=${to}&points=60`)).json();
    const said = await text(page, ".past .summary");
    assert.ok(said.includes(`${Math.round(span.total.out_ah)}\u00a0Ah out`), said);
});
