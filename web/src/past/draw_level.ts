// The level through time, in the same strokes as the level now: one for each two percent, as bold as it was likely to
// be there. Dots show what is known by now of then; a second span laid over it is drawn as an outline.
import type uPlot from "uplot";
import type { Column, Span } from "../api/shape";
import { chanceOfAtLeast } from "../now/level/chance";
import { edges } from "./edges";
import type { Palette } from "./palette";

const each = 2;
const strokes = 100 / each;
const boldest = 0.6; // of the room a stroke has
const steps = 16; // so many boldnesses are told apart
const dash_px = 5;
const gap_px = 3;
const band90 = 1.645;

/** How bold each stroke is in each piece, in steps; made once for a span, for it is drawn sixty times a second. */
export function boldness(span: Span): Uint8Array {
    const pieces = span.state_of_charge.length;
    const bold = new Uint8Array(pieces * strokes);
    for (let i = 0; i < pieces; ++i) {
        const mean = span.state_of_charge[i] ?? null;
        if (mean === null) continue;
        const sd = span.state_of_charge_sd[i] ?? 0;
        for (let stroke = 0; stroke < strokes; ++stroke) {
            const chance = chanceOfAtLeast(((stroke + 0.5) * each) / 100, mean, sd);
            if (chance < 0.02) break; // and those above it are less likely still
            bold[stroke * pieces + i] = Math.max(1, Math.round(chance * steps));
        }
    }
    return bold;
}

export function drawLevel(u: uPlot, span: Span, bold: Uint8Array, reserve: number, colours: Palette): void {
    const context = u.ctx;
    const room = Math.abs(u.valToPos(each, "y", true) - u.valToPos(0, "y", true));
    const left = edges(u, span);
    const pieces = span.state_of_charge.length;
    const { first, last } = inSight(u, left);
    for (let stroke = 0; stroke < strokes; ++stroke) {
        const middle = u.valToPos((stroke + 0.5) * each, "y", true);
        const isReserve = (stroke + 1) * each <= reserve * 100;
        context.fillStyle = isReserve ? colours.out : colours.level;
        for (let i = first; i < last; ) {
            const step = bold[stroke * pieces + i] ?? 0;
            let end = i + 1;
            while (end < last && bold[stroke * pieces + end] === step) ++end;
            if (step > 0) {
                const height = (step / steps) * boldest * room;
                const from = left[i] ?? 0;
                const to = left[end] ?? from;
                if (isReserve) dashes(context, from, to, middle - height / 2, height, stroke);
                else context.fillRect(from, middle - height / 2, to - from, height);
            }
            i = end;
        }
    }
    drawExtremes(u, span, left, colours);
    drawHindsight(u, span, left, colours);
}

function inSight(u: uPlot, left: number[]): { first: number; last: number } {
    let first = 0;
    let last = left.length - 1;
    while (first < last && (left[first + 1] ?? 0) < u.bbox.left) ++first;
    while (last > first && (left[last - 1] ?? 0) > u.bbox.left + u.bbox.width) --last;
    return { first, last };
}

// Broken strokes whose breaks stay where they are on the screen.
function dashes(context: CanvasRenderingContext2D, from: number, to: number, top: number, height: number, row: number): void {
    const ratio = devicePixelRatio;
    const period = (dash_px + gap_px) * ratio;
    const offset = row * 2 * ratio;
    for (let x = Math.floor((from - offset) / period) * period + offset; x < to; x += period) {
        const a = Math.max(from, x);
        const b = Math.min(to, x + dash_px * ratio);
        if (b > a) context.fillRect(a, top, b - a, height);
    }
}

// Where a piece is long, the level moved within it: its lowest and its highest are two thin lines.
function drawExtremes(u: uPlot, span: Span, left: number[], colours: Palette): void {
    const wide = (span.edges[1] ?? 0) - (span.edges[0] ?? 0) >= 4 * 3600;
    if (!wide) return;
    line(u, span.state_of_charge_low, left, colours.quiet, []);
    line(u, span.state_of_charge_high, left, colours.quiet, []);
}

function line(u: uPlot, shares: Column, left: number[], colour: string, dash: number[], width = 1): void {
    const context = u.ctx;
    context.save();
    context.strokeStyle = colour;
    context.lineWidth = width * devicePixelRatio;
    context.setLineDash(dash.map((part) => part * devicePixelRatio));
    context.beginPath();
    let drawing = false;
    shares.forEach((share, i) => {
        if (share === null) {
            drawing = false;
            return;
        }
        const x = ((left[i] ?? 0) + (left[i + 1] ?? 0)) / 2;
        const y = u.valToPos(share * 100, "y", true);
        if (drawing) context.lineTo(x, y);
        else context.moveTo(x, y);
        drawing = true;
    });
    context.stroke();
    context.restore();
}

// What is known by now of then: dots, on a halo so that they show on the strokes.
function drawHindsight(u: uPlot, span: Span, left: number[], colours: Palette): void {
    const context = u.ctx;
    const ratio = devicePixelRatio;
    let free = -Infinity;
    for (const [radius, colour] of [
        [2.6, colours.paper],
        [1.5, colours.into],
    ] as const) {
        context.beginPath();
        free = -Infinity;
        span.hindsight.forEach((share, i) => {
            const x = ((left[i] ?? 0) + (left[i + 1] ?? 0)) / 2;
            if (share === null || x < free || x < u.bbox.left || x > u.bbox.left + u.bbox.width) return;
            free = x + 6 * ratio;
            const y = u.valToPos(share * 100, "y", true);
            context.moveTo(x + radius * ratio, y);
            context.arc(x, y, radius * ratio, 0, 2 * Math.PI);
        });
        context.fillStyle = colour;
        context.fill();
    }
}

/** A second span, moved in time so that both begin together: its middle and the edges of its band. */
export function drawOver(u: uPlot, over: Span, shift: number, colours: Palette): void {
    const left = edges(u, over, shift);
    const edge = (side: number) =>
        over.hindsight.map((mean, i) => (mean === null ? null : mean + side * band90 * (over.hindsight_sd[i] ?? 0)));
    line(u, over.hindsight, left, colours.paper, [], 5);
    line(u, over.hindsight, left, colours.out, [6, 3], 2);
    line(u, edge(1), left, colours.out, [1, 2]);
    line(u, edge(-1), left, colours.out, [1, 2]);
}
