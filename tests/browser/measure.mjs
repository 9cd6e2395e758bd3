// usage: node measure.mjs [YEARS]: how fast the page is over a long record (10 years if not said): the first figures on a slow
// phone, what a chart request takes end to end, frames while the chart is dragged and stretched, all by the browser's own
// trace.
import { openPage, startBrowser, startDemo } from "./stage.mjs";
import { go } from "./stage_views.mjs";

const years = process.argv[2] ?? "10";
const address = process.env.AMPHORA_ADDRESS;
const demo = address ? { address, stop: async () => {} } : await startDemo(["--speed", "1", "--until", "2026-03-09T19:40:00Z", "--years", years]);
const browser = await startBrowser();
const sorted = (values) => [...values].sort((a, b) => a - b);
const at = (values, share) => sorted(values)[Math.min(values.length - 1, Math.floor(values.length * share))].toFixed(1);

/** Frames that the compositor drew while `act` ran, as the times between them in milliseconds. */
async function frames(page, act) {
    const session = await page.context().newCDPSession(page);
    const events = [];
    session.on("Tracing.dataCollected", ({ value }) => events.push(...value));
    const complete = new Promise((done) => session.once("Tracing.tracingComplete", done));
    await session.send("Tracing.start", { transferMode: "ReportEvents", traceConfig: { includedCategories: ["disabled-by-default-devtools.timeline.frame", "devtools.timeline.frame"] } });
    await act();
    await session.send("Tracing.end");
    await complete;
    const drawn = sorted(events.filter(({ name }) => name === "DrawFrame").map(({ ts }) => ts / 1000));
    return drawn.slice(1).map((time, i) => time - drawn[i]);
}

const wide = { from: 1773085200 - Number(years) * 365.25 * 86400, to: 1773085200 };
const times = [];
for (let i = 0; i < 60; ++i) {
    const length = (wide.to - wide.from) / 1.3 ** (i % 30);
    const from = wide.from + ((i * 7919) % 100) / 100 * (wide.to - wide.from - length);
    const began = performance.now();
    await (await fetch(`${demo.address}api/v1/span?from=${from.toFixed(0)}&to=${(from + length).toFixed(0)}&points=600`)).text();
    times.push(performance.now() - began);
}
console.log(`a chart request of 600 pieces, from hours to ${years} years: median ${at(times, 0.5)} ms, 95 % ${at(times, 0.95)} ms, slowest ${at(times, 1)} ms`);

for (const size of ["phone", "desk"]) {
    const page = await openPage(browser, "about:blank", size, "light");
    const session = await page.context().newCDPSession(page);
    if (size === "phone") await session.send("Emulation.setCPUThrottlingRate", { rate: 4 });
    await page.goto(demo.address);
    await page.waitForSelector(".figure .percent");
    const paint = await page.evaluate(() => performance.getEntriesByType("paint").find(({ name }) => name === "first-contentful-paint")?.startTime ?? NaN);
    const figures = await page.evaluate(() => performance.now());
    console.log(`${size}${size === "phone" ? ", processor slowed to a quarter" : ""}: first paint ${paint.toFixed(0)} ms, figures by ${figures.toFixed(0)} ms`);
    await session.send("Emulation.setCPUThrottlingRate", { rate: 1 });

    await go(page, "back");
    await page.getByRole("radio", { name: "all", exact: true }).check();
    await page.waitForTimeout(1500);
    const box = await page.locator(".past .plot").boundingBox();
    const middle = { x: box.x + box.width / 2, y: box.y + 100 };
    await page.mouse.move(middle.x, middle.y);
    for (let i = 0; i < 6; ++i) await page.mouse.wheel(0, -200);
    await page.waitForTimeout(1500);
    const between = await frames(page, async () => {
        await page.mouse.down();
        for (let i = 0; i < 120; ++i) {
            await page.mouse.move(middle.x + 80 * Math.sin(i / 10), middle.y);
            await page.waitForTimeout(8);
        }
        await page.mouse.up();
        for (let i = 0; i < 60; ++i) {
            await page.mouse.wheel(0, i % 20 < 10 ? 40 : -40);
            await page.waitForTimeout(8);
        }
    });
    console.log(`${size}: dragged and stretched over ${years} years, time between ${between.length} frames: median ${at(between, 0.5)} ms, 95 % ${at(between, 0.95)} ms`);
    await page.context().close();
}
await browser.close();
await demo.stop();
