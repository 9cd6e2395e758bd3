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

/** What the browser drew while `act` ran: the times between frames, and how long the page's own thread worked for each,
 * by the processor's clock, which other work on the machine disturbs less. In milliseconds. */
async function frames(page, act) {
    const session = await page.context().newCDPSession(page);
    const events = [];
    session.on("Tracing.dataCollected", ({ value }) => events.push(...value));
    const complete = new Promise((done) => session.once("Tracing.tracingComplete", done));
    const includedCategories = ["devtools.timeline.frame", "disabled-by-default-devtools.timeline.frame", "disabled-by-default-devtools.timeline", "devtools.timeline", "toplevel"];
    await session.send("Tracing.start", { transferMode: "ReportEvents", traceConfig: { includedCategories } });
    await act();
    await session.send("Tracing.end");
    await complete;
    const named = (what) => events.filter(({ name }) => name === what).sort((a, b) => a.ts - b.ts);
    const drawn = named("DrawFrame").map(({ ts }) => ts / 1000);
    const begun = named("BeginMainThreadFrame");
    const own = ({ pid, tid }) => pid === begun[0].pid && tid === begun[0].tid;
    const tasks = named("RunTask").filter(own);
    const work = begun.map(({ ts }, i) => {
        const until = begun[i + 1]?.ts ?? Infinity;
        return tasks.reduce((sum, task) => (task.ts + task.dur >= ts && task.ts + task.dur < until ? sum + (task.tdur ?? 0) / 1000 : sum), 0);
    });
    return { between: drawn.slice(1).map((time, i) => time - drawn[i]), work: work.slice(0, -1) };
}

/** Tells the page where the pointer is as a mouse does, 125 times a second, whether the page keeps up or not. */
async function pointer(session, seconds, event) {
    const began = performance.now();
    const sent = [];
    for (let time = 0; time < seconds; time = (performance.now() - began) / 1000) {
        sent.push(session.send("Input.dispatchMouseEvent", event(time)));
        await new Promise((done) => setTimeout(done, 8));
    }
    await Promise.all(sent);
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
    const gestures = {
        dragged: async () => {
            await page.mouse.down();
            await pointer(session, 4, (time) => ({ type: "mouseMoved", button: "left", buttons: 1, x: middle.x + 120 * Math.sin(3 * time), y: middle.y }));
            await page.mouse.up();
        },
        stretched: () => pointer(session, 4, (time) => ({ type: "mouseWheel", ...middle, deltaX: 0, deltaY: time % 1 < 0.5 ? -12 : 12 })),
    };
    for (const [name, act] of Object.entries(gestures)) {
        const { between, work } = await frames(page, act);
        const said = (values) => [0.5, 0.95, 0.99].map((share) => at(values, share)).join(", ");
        console.log(`${size}: ${name} over ${years} years, ms at 50, 95, 99 %: between ${between.length} frames ${said(between)}; work of the page's thread for each ${said(work)}`);
        await page.waitForTimeout(1000);
    }
    await page.context().close();
}
await browser.close();
await demo.stop();
