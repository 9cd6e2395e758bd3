// Signing in, letting another device in and sending it away, as people do it, each device a browser of its own.
import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { createInterface } from "node:readline";
import { after, before, test } from "node:test";
import { openPage, program, sizes, startBrowser } from "./stage.mjs";
import { barriers, text, width } from "./stage_views.mjs";

const passphrase = "lantern otter gravel seven";
let browser;

/** A page server of its own that asks everyone to sign in; its guard counts wrong tries anew. */
async function served(t) {
    const folder = mkdtempSync(join(tmpdir(), "amphora-entry."));
    writeFileSync(join(folder, "van.toml"), '[system]\nname = "Blue Heron"\n[battery]\nchemistry = "lfp"\ndesign_capacity_ah = 200\n');
    writeFileSync(join(folder, "passphrase"), passphrase);
    const words = ["page", "--system", join(folder, "van.toml"), "--port", "0", "--lan", "--address", "127.0.0.1", "--ask-here-too"];
    const child = spawn(program, [...words, "--passphrase-file", join(folder, "passphrase")], { stdio: ["ignore", "pipe", "ignore"] });
    t.after(async () => {
        await new Promise((done) => (child.once("exit", done), child.kill("SIGTERM")));
        rmSync(folder, { recursive: true });
    });
    return new Promise((ready, failed) => {
        child.once("exit", (code) => failed(new Error(`the page server ended with ${code}`)));
        createInterface({ input: child.stdout }).once("line", (address) => (child.removeAllListeners("exit"), ready(address)));
    });
}

before(async () => {
    browser = await startBrowser();
});
after(() => browser?.close());

async function device(t, address, size = "phone", wear = "light") {
    const page = await openPage(browser, "about:blank", size, wear === "dark" ? "dark" : "light");
    t.after(() => page.context().close());
    const faults = [];
    const urls = [];
    page.on("pageerror", (error) => faults.push(String(error)));
    page.on("request", (request) => urls.push(request.url()));
    t.after(() => assert.deepEqual(faults, []));
    if (wear === "night") await page.addInitScript(() => localStorage.setItem("look", "night"));
    await page.goto(address);
    return { page, urls };
}

/** Signs in by keys alone. */
async function signIn(page, name, words = passphrase) {
    await page.getByLabel("Passphrase").fill(words);
    await page.getByLabel("What this device is called").fill(name);
    await page.keyboard.press("Enter");
}

const devices = (page) => page.evaluate(() => (location.hash = "#/system?part=devices"));

async function code(page, rights) {
    await devices(page);
    await page.getByRole("radio", { name: rights, exact: true }).check();
    await page.getByRole("button", { name: "show a code" }).click();
    await page.waitForSelector(".code svg");
    return text(page, ".code code");
}

test("a device that is not known is asked who it is, in every size and look", async (t) => {
    const address = await served(t);
    for (const size of Object.keys(sizes))
        for (const wear of ["light", "dark", "night"]) {
            const { page } = await device(t, address, size, wear);
            await page.getByLabel("Passphrase").waitFor();
            assert.equal(await page.locator(".ways, .figure").count(), 0, "nothing of the page is there");
            assert.equal(await width(page), sizes[size].viewport.width);
            assert.deepEqual(await barriers(page), [], `${size} ${wear}`);
        }
});

test("a wrong passphrase is told, and how long to wait after the third", async (t) => {
    const { page } = await device(t, await served(t));
    for (let i = 0; i < 2; ++i) {
        await signIn(page, "phone", "lantern otter gravel eight");
        await page.getByRole("alert").getByText("That is not the passphrase. Try again.").waitFor();
    }
    await signIn(page, "phone", "lantern otter gravel eight");
    await page.getByRole("alert").getByText(/Wait \d seconds before the next try/).waitFor();
    assert.deepEqual(await barriers(page), []);
});

test("signing in by the passphrase lasts, and ends when it is ended", async (t) => {
    const { page } = await device(t, await served(t));
    await signIn(page, "bed's phone");
    await page.waitForSelector(".ways");
    await page.reload();
    await page.waitForSelector(".ways");
    assert.equal(await page.evaluate(() => document.cookie), "", "no script reads the cookie");
    await devices(page);
    await page.getByRole("heading", { name: /bed's phone may change things, this device/ }).waitFor();
    assert.equal(await page.locator(".looks").count(), 0);
    await page.getByRole("button", { name: "sign out here" }).click();
    await page.getByLabel("Passphrase").waitFor();
    await page.reload();
    await page.getByLabel("Passphrase").waitFor();
});

test("a code lets one device in to look, once, and it is sent away at once", async (t) => {
    const address = await served(t);
    const { page: desk } = await device(t, address, "desk");
    await signIn(desk, "desk");
    await desk.waitForSelector(".ways");
    const link = await code(desk, "look, and nothing more");
    assert.deepEqual(await barriers(desk), []);

    const { page: guest, urls } = await device(t, link, "small");
    const enter = guest.getByRole("button", { name: "let this device in" });
    await enter.waitFor();
    const token = new URLSearchParams(new URL(link).hash.split("?")[1]).get("token");
    assert.equal(await guest.evaluate(() => location.hash), "#/", "the token is out of the address");
    assert.deepEqual(await barriers(guest), []);
    assert.equal(await width(guest), sizes.small.viewport.width);
    await guest.getByLabel("What this device is called").fill("guest");
    await enter.click();
    await guest.waitForSelector(".ways");
    assert.match(await text(guest, ".looks"), /^\s*view only$/);
    assert.deepEqual(urls.slice(1).filter((url) => url.includes(token)), [], "nor was it sent in one");
    await guest.evaluate(() => (location.hash = "#/record"));
    await guest.waitForSelector("text=There is no record yet");
    await devices(guest);
    assert.equal(await guest.getByRole("button", { name: "send it away" }).count(), 0);
    assert.equal(await guest.getByRole("button", { name: "show a code" }).count(), 0);

    const { page: late } = await device(t, link);
    await late.getByRole("button", { name: "let this device in" }).click();
    await late.getByRole("alert").getByText(/used already/).waitFor();
    await late.getByRole("button", { name: "use the passphrase" }).click();
    await late.getByLabel("Passphrase").waitFor();

    await desk.reload();
    await devices(desk);
    await desk.getByRole("button", { name: /send it away/ }).click();
    await desk.getByRole("button", { name: "yes, send guest away" }).click();
    await desk.getByText("guest may look").waitFor({ state: "detached" });
    await guest.getByRole("link", { name: "looking back" }).click();
    await guest.getByLabel("Passphrase").waitFor();
});

for (const wear of ["light", "dark", "night"])
    test(`who may come in, ${wear}: nothing in the way of anyone`, async (t) => {
        const address = await served(t);
        const { page } = await device(t, address, "small", wear);
        await signIn(page, "phone");
        await page.waitForSelector(".ways");
        await code(page, "look, and change things");
        assert.deepEqual(await barriers(page), []);
        assert.equal(await width(page), sizes.small.viewport.width);
    });

const noDecoder = spawnSync("zbarimg", ["--version"]).error && "THE CODE WAS NOT READ: there is no zbarimg here (scripts/install-packages zbar-tools)";

test("a camera reads the code, in every size and look", { skip: noDecoder }, async (t) => {
    const address = await served(t);
    const picture = join(mkdtempSync(join(tmpdir(), "amphora-code.")), "code.png");
    t.after(() => rmSync(dirname(picture), { recursive: true }));
    for (const size of Object.keys(sizes))
        for (const wear of ["light", "dark", "night"]) {
            const { page } = await device(t, address, size, wear);
            await signIn(page, `${size} ${wear}`);
            await page.waitForSelector(".ways");
            const link = await code(page, "look, and nothing more");
            await page.locator(".code").screenshot({ path: picture });
            const read = spawnSync("zbarimg", ["--nodbus", "--quiet", "--raw", picture], { encoding: "utf8" });
            assert.equal(read.stdout.trim(), link, `${size} ${wear}: ${read.stderr}`);
        }
});
