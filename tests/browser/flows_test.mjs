// What a person does with the page, from beginning to end: changing the description, bringing a log in, taking readings
// out, a copy, a draw test, putting a system to work.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { startBrowser, startDemo, week } from "./stage.mjs";
import { barriers, go, look, text } from "./stage_views.mjs";

let browser;
let demo;

before(async () => {
    [browser, demo] = await Promise.all([startBrowser(), startDemo(["--speed", "60", ...week])]);
});

after(async () => {
    await browser?.close();
    await demo?.stop();
});

async function at(t, place, size = "phone") {
    const { page, problems } = await look(t, browser, demo.address, size);
    await go(page, place);
    return { page, problems };
}

test("the description: a mistake is named, the difference is seen, and then it is saved", async (t) => {
    const { page } = await at(t, "system?part=description");
    await page.getByRole("button", { name: "change it" }).click();
    const area = page.locator("textarea");
    const before = await area.inputValue();
    const save = page.getByRole("button", { name: "see what changes" });
    assert.equal(await save.isDisabled(), true, "nothing is changed yet");

    await area.fill(before.replace("design_capacity_ah = 200", 'design_capacity_ah = "a lot"'));
    await page.waitForSelector(".mistakes li");
    assert.match(await text(page, ".mistakes li"), /^line \d+ battery\.design_capacity_ah .*/);
    assert.equal(await save.isDisabled(), true);
    await page.locator(".mistakes button").first().click();
    await page.waitForFunction(() => {
        const { value, selectionStart, selectionEnd } = document.activeElement;
        return value?.slice(selectionStart, selectionEnd).includes("a lot");
    });

    await area.fill(before.replace("design_capacity_ah = 200", "design_capacity_ah = 180"));
    await save.click();
    assert.match(await text(page, ".difference .gone"), /design_capacity_ah = 200/);
    assert.match(await text(page, ".difference .new"), /design_capacity_ah = 180/);
    assert.deepEqual(await barriers(page), []);
    await page.getByRole("button", { name: "save it" }).click();
    await page.getByText("Saved.").waitFor();
    const now = await (await fetch(`${demo.address}api/v1/now`)).json();
    assert.equal(now.system.design_capacity_ah, 180);

    await page.getByRole("button", { name: "change it" }).click();
    await area.fill(before);
    await save.click();
    await page.getByRole("button", { name: "save it" }).click();
    await page.getByText("Saved.").waitFor();
});

test("the description: another's change is not lost", async (t) => {
    const { page } = await at(t, "system?part=description");
    await page.getByRole("button", { name: "change it" }).click();
    const area = page.locator("textarea");
    const before = await area.inputValue();
    await area.fill(`${before}\n# mine\n`);
    await page.getByRole("button", { name: "see what changes" }).click();
    const { mark } = await (await fetch(`${demo.address}api/v1/description`)).json();
    const theirs = await fetch(`${demo.address}api/v1/description/save`, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ text: `${before}\n# theirs\n`, mark }),
    });
    assert.equal(theirs.status, 200);
    await page.getByRole("button", { name: "save it" }).click();
    await page.getByText("was changed meanwhile").waitFor();
    await page.getByRole("button", { name: "look at it as it is now" }).click();
    await page.waitForFunction(() => document.querySelector("textarea")?.value.includes("# theirs"));
});

test("a log is looked at, taken in, and is there", async (t) => {
    const { page } = await at(t, "record");
    const before = (await (await fetch(`${demo.address}api/v1/record`)).json()).readings;
    const lines = Array.from({ length: 500 }, (_, i) => {
        const out = Math.floor(i / 20) % 2 === 0;
        return `${1772000000 + 60 * i};${out ? "-3,5" : "4,5"};${out ? "13,05" : "13,35"}`;
    });
    const log = ["time;current (A);voltage (V)", ...lines].join("\n");
    await page.getByLabel("The log").setInputFiles({ name: "old-meter.csv", mimeType: "text/csv", buffer: Buffer.from(log) });
    await page.waitForSelector("table tbody tr");
    assert.match(await text(page, "#import ~ .summary"), /^500 lines looked at, 0 of them cannot be read\. The sign of the current agrees/);
    assert.match(await text(page, "table tbody tr"), /-3\.5\sA/);
    assert.deepEqual(await barriers(page), []);
    await page.getByRole("button", { name: /^take all of it in/ }).click();
    await page.getByText("old-meter.csv: 500 readings added, 0 were there already.").waitFor({ timeout: 30_000 });
    const count = async () => (await (await fetch(`${demo.address}api/v1/record`)).json()).readings;
    // The page server looks at the file anew once a second.
    for (let i = 0; i < 50 && (await count()) < before + 500; ++i) await page.waitForTimeout(100);
    assert.ok((await count()) >= before + 500);
});

test("what is no log is refused with a sentence", async (t) => {
    const { page } = await at(t, "record", "small");
    await page.getByLabel("The log").setInputFiles({ name: "cat.jpg", mimeType: "image/jpeg", buffer: Buffer.from([255, 216, 255, 1, 2, 3]) });
    await page.waitForSelector(".trouble");
    assert.ok((await text(page, ".trouble")).length > 20);
});

test("readings are taken out, and a copy of all of it", async (t) => {
    const { page } = await at(t, "record", "desk");
    await page.getByLabel("A line for each").selectOption("hour");
    const [csv] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "take it out" }).click()]);
    const text_out = readFileSync(await csv.path(), "utf8").trim().split("\n");
    assert.match(text_out[0], /^time_utc,readings,/);
    assert.ok(text_out.length > 24);

    await page.getByRole("button", { name: "make a copy" }).click();
    const fetchIt = page.getByRole("link", { name: /^fetch it/ });
    await fetchIt.waitFor({ timeout: 30_000 });
    const [copy] = await Promise.all([page.waitForEvent("download"), fetchIt.click()]);
    assert.equal(readFileSync(await copy.path()).subarray(0, 15).toString(), "SQLite format 3");
});

test("a draw test is led from step to step to a figure with its band", async (t) => {
    const { page } = await at(t, "uses");
    const next = page.locator(".draw-test .act.main");
    assert.equal(await next.isDisabled(), true, "first what shall be tested");
    await page.getByLabel("What to test").fill("water pump");
    for (const name of ["all is off", "now it is on", "now it is off again", "that is all"]) {
        const button = page.getByRole("button", { name });
        await button.waitFor();
        await page.waitForFunction(() => !document.querySelector(".draw-test .act.main").disabled, null, { timeout: 30_000 });
        if (name === "that is all") assert.deepEqual(await barriers(page), []);
        await button.click();
    }
    await page.waitForSelector(".draw-test .result");
    assert.match(await text(page, ".draw-test .result"), /^water pump: (\d[\d.]* A ± [\d.]+|at most [\d.]+ A)/, "as the terminal says it");
    await page.getByRole("button", { name: "test another" }).click();
    assert.equal(await page.getByLabel("What to test").isVisible(), true);
});

test("putting it to work goes on where it was left", async (t) => {
    const { page } = await at(t, "system?part=commissioning");
    const first = await text(page, ".one-step .tell");
    const height = await page.locator(".one-step").evaluate((box) => box.offsetHeight);
    await page.getByRole("button", { name: "done, on" }).click();
    assert.notEqual(await text(page, ".one-step .tell"), first);
    assert.match(await text(page, ".one-step .meter"), /\d\sA (in|out)|nothing in or out/);
    assert.equal(await page.locator(".one-step").evaluate((box) => box.offsetHeight), height, "nothing moves");
    await page.reload();
    await page.waitForSelector(".one-step .tell");
    assert.notEqual(await text(page, ".one-step .tell"), first);
    await page.getByRole("button", { name: "back", exact: true }).click();
    assert.equal(await text(page, ".one-step .tell"), first);
});

test("the meter is tested by the steps of the terminal", async (t) => {
    const { page } = await at(t, "system?part=commissioning");
    const title = () => text(page, ".meter-test .range");
    assert.match(await title(), /^Test 1 of 5: Is the shunt the right way round\?/);
    await page.getByRole("button", { name: "leave this test out" }).click();
    await page.getByText("Test 2 of 5").waitFor();
    assert.match(await text(page, ".meter-test .facts"), /Is the shunt the right way round\? left out/);
    assert.equal(await page.getByRole("button", { name: "yes, something does" }).isVisible(), true);
    await page.getByRole("button", { name: "leave this test out" }).click();
    await page.getByText("Test 3 of 5").waitFor();
    await page.getByRole("button", { name: "it is so" }).click();
    await page.getByText("Test 4 of 5").waitFor({ timeout: 30_000 });
    assert.match(await text(page, ".meter-test .facts"), /when nothing flows\? (passed|differs|not sure)\s+-?[\d.]+ A ± [\d.]+/);
    assert.equal(await page.getByRole("button", { name: "it is so" }).isDisabled(), true, "first the figure that is asked for");
    assert.deepEqual(await barriers(page), []);
    await page.getByRole("button", { name: "test from the beginning" }).click();
    await page.getByText("Test 1 of 5").waitFor();
});

test("the past is run against the guards", async (t) => {
    const { text: before, mark } = await (await fetch(`${demo.address}api/v1/description`)).json();
    const save = async (changed, from) =>
        (
            await fetch(`${demo.address}api/v1/description/save`, {
                method: "POST",
                headers: { "Content-Type": "application/json" },
                body: JSON.stringify({ text: changed, mark: from }),
            })
        ).json();
    const guard = '[[guard]]\nname = "rather full"\nwatch = "voltage"\ntrip_below = 13.3\ntrip_after_s = 60\nclear_above = 13.4\nrelay = "rehearsed"\n[[relay]]\nname = "rehearsed"\nkind = "rehearsal"\nwhen_blind = "hold"\n';
    const saved = await save(`${before}\n${guard}`, mark);
    assert.ok(saved.mark, JSON.stringify(saved));
    t.after(() => save(before, saved.mark));
    const { page } = await at(t, "system?part=guards");
    await page.waitForFunction(async () => (await (await fetch("/api/v1/work")).json()).state !== "working");
    await page.getByRole("button", { name: "try it" }).click();
    await page.getByRole("heading", { name: "How near each came" }).waitFor({ timeout: 30_000 });
    assert.match(await text(page, "#guard-trial ~ div .summary"), /: (tripped \d+ times|nothing would have tripped)/);
    assert.deepEqual(await barriers(page), []);
});
