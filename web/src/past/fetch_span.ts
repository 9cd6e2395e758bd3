// The spans that a chart needs, fetched ahead of the finger and kept for the way back.
import { ask } from "../api/ask";
import type { Span } from "../api/shape";
import type { Window } from "./plot";

const kept_most = 24;
const kept = new Map<string, Span>();

/** What to ask for so that a window can be moved for a while: as much again on either side, on a grid, so that the same
 * question comes again. */
export function around(window: Window): Window {
    const length = window.to - window.from;
    const grid = 2 ** Math.ceil(Math.log2(length / 4));
    return { from: Math.floor((window.from - length) / grid) * grid, to: Math.ceil((window.to + length) / grid) * grid };
}

/** True while a fetched span still covers the window and is fine enough for it. */
export function covers(span: Span | null, window: Window): boolean {
    if (span === null) return false;
    const length = window.to - window.from;
    const margin = 0.15 * length;
    const asked = span.to - span.from;
    return span.from <= window.from - margin && span.to >= window.to + margin && asked < 6 * length && asked > 1.2 * length;
}

export async function fetchSpan(window: Window, points: number, newest: number, signal?: AbortSignal): Promise<Span> {
    const key = `span?from=${window.from}&to=${window.to}&points=${points}`;
    const known = kept.get(key);
    if (known) return known;
    const span = await ask<Span>(key, signal);
    if (window.to < newest) {
        if (kept.size >= kept_most) kept.delete(kept.keys().next().value as string);
        kept.set(key, span);
    }
    return span;
}
