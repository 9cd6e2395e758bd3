// usage: node pictures.mjs FOLDER: pictures of the page at each size, light and dark; in the first days with a meter,
// when little is known, and after two years, when much is.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { openPage, sizes, startBrowser, startDemo, week } from "./stage.mjs";

const folder = process.argv[2];
const moments = {
    "first-days": week,
    "two-years": ["--until", "2026-03-09T19:40:00Z"],
};
mkdirSync(folder, { recursive: true });

const browser = await startBrowser();
for (const [name, options] of Object.entries(moments)) {
    const demo = await startDemo(["--speed", "1", ...options]);
    for (const size of Object.keys(sizes)) {
        for (const colour of ["light", "dark"]) {
            const page = await openPage(browser, demo.address, size, colour);
            await page.waitForSelector(".plot canvas");
            await page.evaluate(() => document.fonts.ready);
            await page.waitForTimeout(300); // the chart's first frame
            await page.screenshot({ path: join(folder, `${name}-${size}-${colour}.png`), fullPage: true });
            await page.context().close();
        }
    }
    await demo.stop();
}
await browser.close();
