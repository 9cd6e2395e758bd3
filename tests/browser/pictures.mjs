// usage: node pictures.mjs FOLDER: pictures of every view: on a phone, small, and on a desk; light, dark and night.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { openPage, sizes, startBrowser, startDemo, week } from "./stage.mjs";
import { go, places } from "./stage_views.mjs";

const folder = process.argv[2];
const names = { "": "now", back: "back", uses: "uses", record: "record" };
const nameOf = (place) => names[place] ?? place.replace("system?part=", "system-");
mkdirSync(folder, { recursive: true });

async function picture(page, name) {
    await page.evaluate(() => document.fonts.ready);
    await page.waitForTimeout(400); // the chart's first frame
    // On a phone the names of the views stay at the foot of the screen: here that is the foot of the page.
    await page.evaluate(() => {
        const ways = document.querySelector(".ways");
        if (getComputedStyle(ways).position !== "fixed") return;
        document.body.style.position = "relative";
        ways.style.position = "absolute";
    });
    await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true });
}

async function open(browser, address, size, look) {
    const page = await openPage(browser, "about:blank", size, look === "dark" ? "dark" : "light");
    if (look === "night") await page.addInitScript(() => localStorage.setItem("look", "night"));
    await page.goto(address);
    await page.waitForSelector(".plot canvas");
    return page;
}

const browser = await startBrowser();
const lived = await startDemo(["--speed", "1", "--until", "2026-03-09T19:40:00Z"]);
for (const size of Object.keys(sizes)) {
    for (const look of ["light", "dark", "night"]) {
        const page = await open(browser, lived.address, size, look);
        for (const place of Object.keys(places)) {
            if (place !== "" && size !== "phone" && look !== "light") continue; // each look once, each size once
            await go(page, place);
            await picture(page, `${nameOf(place)}-${size}-${look}`);
        }
        await page.context().close();
    }
}
await lived.stop();
// In the first days little is known: the band can be seen.
const young = await startDemo(["--speed", "1", ...week]);
const page = await open(browser, young.address, "phone", "light");
await picture(page, "now-first-days-phone-light");
await young.stop();
await browser.close();
