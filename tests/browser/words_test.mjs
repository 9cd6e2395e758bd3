// What the page computes by itself, without a browser.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { test } from "node:test";
import { gzipSync } from "node:zlib";
import { root } from "./stage.mjs";

const require = createRequire(join(root, "web/package.json"));
const { buildSync } = require("esbuild");

/** A module of the page, with those that it imports. */
async function load(path) {
    const built = buildSync({ entryPoints: [join(root, "web/src", path)], bundle: true, write: false, format: "esm" });
    return import(`data:text/javascript,${encodeURIComponent(built.outputFiles[0].text)}`);
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

test("nothing is foretold before now, and both days are named where a range crosses midnight", async () => {
    const { lasting, filling } = await load("words/outlook.ts");
    const at = new Date(2026, 3, 20, 21, 40, 30).getTime() / 1000; // a Monday
    const present = (low, likely, high, more = {}) => ({
        at,
        age_s: 0,
        state_of_charge: { mean: 0.5, sd: 0.05 },
        time_to_empty_s: { low, likely, high },
        time_to_full_s: { low, likely, high },
        ...more,
    });
    const overnight = lasting(present(3600, 4 * 3600, 30 * 3600));
    const day = (after) => new Date((at + after) * 1000).toLocaleDateString(undefined, { weekday: "short" });
    assert.match(overnight.range, new RegExp(`between today .+ and ${day(30 * 3600)} `));
    assert.doesNotMatch(lasting(present(600, 1800, 5000)).range, /today/, "all on one day");
    assert.match(lasting(present(0, 60, 30 * 3600)).range, /^between now and /, "rounding does not go back");
    assert.match(lasting(present(30, 60, 90)).figure, /^(now|.*4[1-9]|.*[5-9]\d)/);
    assert.equal(lasting({ ...present(), time_to_empty_s: null }).figure, "not known yet");
    assert.equal(filling({ ...present(), time_to_full_s: null }).figure, "not known yet");
    const old = { ...present(60, 120, 180), age_s: 3600 };
    assert.equal(lasting(old).figure, "not known now");
    assert.match(lasting({ ...present(), time_to_empty_s: null, state_of_charge: { mean: 0.5, sd: 0.3 } }).range, /where it stands/);
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

test("what is rounded to nothing has no sign", async () => {
    const { withBand } = await load("words/number.ts");
    assert.equal(withBand(-0.04, 0.08, "A"), "0.0\u00a0A\u00a0±\u00a00.1");
    assert.equal(withBand(-0.06, 0.08, "A"), "-0.1\u00a0A\u00a0±\u00a00.1");
});
