// What the page computes by itself, without a browser.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { test } from "node:test";
import { gzipSync } from "node:zlib";
import { root } from "./stage.mjs";

const require = createRequire(join(root, "web/package.json"));
const { transformSync } = require("esbuild");

/** A module of the page that imports no other. */
async function load(path) {
    const { code } = transformSync(readFileSync(join(root, "web/src", path), "utf8"), { loader: "ts", format: "esm" });
    return import(`data:text/javascript,${encodeURIComponent(code)}`);
}

test("a difference puts the old text back together, and the new one", async () => {
    const { difference, inShort } = await load("system/difference.ts");
    const before = "a\nb\nc\nd\ne\nf\ng\nh\ni";
    const after = "a\nb\nX\nd\ne\nf\ng\nh\nY\ni";
    const changes = difference(before, after);
    const put = (kinds) => changes.filter(({ kind }) => kinds.includes(kind)).map(({ text }) => text).join("\n");
    assert.equal(put(["same", "gone"]), before);
    assert.equal(put(["same", "new"]), after);
    assert.deepEqual(changes.filter(({ kind }) => kind !== "same").map(({ kind, text }) => `${kind} ${text}`), ["gone c", "new X", "new Y"]);
    assert.ok(inShort(changes).includes(null), "what stays is left out");
    assert.deepEqual(difference("", "").map(({ kind }) => kind), ["same"]);
});

test("what an appliance draws is the step between off and on", async () => {
    const { drawOf, level } = await load("uses/measure.ts");
    const samples = (current, count) => Array.from({ length: count }, (_, i) => ({ at: i, current: current + (i % 2 ? 0.1 : -0.1), voltage: 13 }));
    const draw = drawOf(level(samples(-1, 20)), level(samples(-5, 20)), level(samples(-1, 20)));
    assert.ok(Math.abs(draw.current - 4) < 1e-9);
    assert.ok(Math.abs(draw.power - 52) < 1e-9);
    assert.ok(draw.sd > 0.01 && draw.sd < 0.05, `${draw.sd}`);
    const drifted = drawOf(level(samples(-1, 20)), level(samples(-5, 20)), level(samples(-2, 20)));
    assert.ok(drifted.sd > 0.2, "what changed meanwhile makes it less sure");
});

test("a window stays within the record and is never shorter than an hour", async () => {
    const { clamp, lengths } = await load("past/time.ts");
    const year = 365 * 86400;
    const within = clamp({ from: -1e9, to: 1e9 }, 0, year);
    assert.ok(within.from >= -0.02 * year && within.to <= 1.02 * year);
    assert.equal(clamp({ from: 100, to: 101 }, 0, year).to - clamp({ from: 100, to: 101 }, 0, year).from, 3600);
    const late = clamp({ from: 2 * year, to: 2 * year + 86400 }, 0, year);
    assert.ok(late.to <= 1.02 * year && late.to - late.from === 86400);
    assert.deepEqual(lengths(3 * 86400).map(({ name }) => name), ["hour", "day", "all"]);
});

test("all of the page is less than 120 kB compressed", () => {
    const folder = join(root, "build/page/dist");
    const size = readdirSync(folder, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => gzipSync(readFileSync(join(entry.path, entry.name)), { level: 9 }).length)
        .reduce((sum, bytes) => sum + bytes, 0);
    assert.ok(size > 50_000 && size < 120_000, `${size} bytes`);
});
