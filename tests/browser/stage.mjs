// What browser tests and pictures share: a demonstration that runs, and a browser to look at it with.
import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

export const root = resolve(fileURLToPath(new URL("../..", import.meta.url)));
const require = createRequire(join(root, "web/package.json"));

export const program = process.env.AMPHORA_PROGRAM ?? join(root, "build/amphora");
export const browserPath = ["/usr/bin/chromium", "/usr/bin/chromium-browser"].find((path) => existsSync(path));

/** The van's first days with a meter, up to an evening in March: little is known yet, so the band can be seen. */
export const week = ["--until", "2026-03-07T16:13:00Z", "--years", "0.012"];

/** Starts `amphora demo`; resolves once it has printed its address. */
export function startDemo(options) {
    const port = options.includes("--port") ? [] : ["--port", "0"];
    const child = spawn(program, ["demo", ...port, ...options], { stdio: ["ignore", "pipe", "ignore"] });
    const stop = () =>
        new Promise((done) => {
            child.once("exit", done);
            child.kill("SIGTERM");
        });
    return new Promise((ready, failed) => {
        child.once("exit", (code) => failed(new Error(`the demonstration ended with ${code}`)));
        createInterface({ input: child.stdout }).once("line", (address) => {
            child.removeAllListeners("exit");
            ready({ address, stop });
        });
    });
}

/** A browser of its own, with a profile that is thrown away, and nothing sent anywhere. */
export function startBrowser() {
    const { chromium } = require("playwright-core");
    return chromium.launch({
        executablePath: browserPath,
        args: [
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
        ],
    });
}

export const sizes = {
    phone: { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true },
    small: { viewport: { width: 320, height: 640 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true },
    desk: { viewport: { width: 1440, height: 900 } },
};

/** A page at one of the sizes, somewhere in Europe. */
export async function openPage(browser, address, size, colorScheme, more = {}) {
    const context = await browser.newContext({
        ...sizes[size],
        colorScheme,
        reducedMotion: "reduce",
        locale: "en-GB",
        timezoneId: "Europe/Paris",
        ...more,
    });
    const page = await context.newPage();
    await page.goto(address);
    return page;
}

/** The text of a script from a package that the page is built with. */
export const packageFile = (name) => require.resolve(name);
