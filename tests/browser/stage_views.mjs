// What the tests of the views share: each view with what shows that it is there, and a look at all of them.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { openPage, packageFile, sizes } from "./stage.mjs";

/** Every place of the page, and what stands there once it has its figures. */
export const places = {
    "": ".plot canvas",
    back: ".bars svg rect",
    uses: ".takers tfoot",
    "system?part=sources": ".card",
    "system?part=guards": ".caution",
    "system?part=description": "pre.text",
    "system?part=findings": ".cautions li",
    "system?part=diagram": ".drawing img",
    "system?part=commissioning": ".one-step .tell",
    "system?part=devices": "#devices",
    record: ".facts dd",
};

/** A page at one size in one look; it is closed when the test ends, and what went wrong in it is kept. */
export async function look(t, browser, address, size, wear = "light", more = {}) {
    const problems = [];
    const requests = [];
    const page = await openPage(browser, "about:blank", size, wear === "dark" ? "dark" : "light", more);
    t.after(() => page.context().close());
    page.on("console", (message) => message.type() === "error" && problems.push(message.text()));
    page.on("pageerror", (error) => problems.push(String(error)));
    page.on("request", (request) => requests.push(request.url()));
    if (wear === "night") await page.addInitScript(() => localStorage.setItem("look", "night"));
    await page.goto(address);
    await page.waitForSelector(places[""]);
    return { page, problems, requests };
}

export async function go(page, place) {
    await page.evaluate((to) => (location.hash = `#/${to}`), place);
    await page.waitForSelector(places[place]);
}

/** How wide the content is; wider than the screen means that it can be pushed sideways. */
export const width = (page) => page.evaluate(() => document.documentElement.scrollWidth);

export const text = (page, selector) => page.locator(selector).first().innerText();

/** What is in someone's way on the page as it stands, by axe. */
export async function barriers(page) {
    if (!(await page.evaluate(() => "axe" in globalThis))) await page.evaluate(readFileSync(packageFile("axe-core"), "utf8"));
    const { violations } = await page.evaluate(() => axe.run());
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join("; ")}`);
}

/** Goes through all places: nothing sideways, no errors, nothing from elsewhere; with axe where that is asked. */
export async function tour(t, browser, address, size, wear, withAxe) {
    const { page, problems, requests } = await look(t, browser, address, size, wear);
    for (const place of Object.keys(places)) {
        await go(page, place);
        assert.equal(await width(page), sizes[size].viewport.width, `${place} can be pushed sideways`);
        if (withAxe) assert.deepEqual(await barriers(page), [], `at #/${place}`);
    }
    assert.deepEqual(problems, []);
    assert.deepEqual(requests.filter((url) => !url.startsWith(address)), []);
}
