// Which times can be looked at.
import type { Window } from "./plot";

const day = 86400;
export const shortest = 3600;
/** 364 days: the same day of the week. */
export const yearBefore = 364 * day;

/** The lengths to choose from, for a record of so many seconds. */
export function lengths(all: number): { name: string; seconds: number }[] {
    const offered = [
        { name: "hour", seconds: 3600 },
        { name: "day", seconds: day },
        { name: "week", seconds: 7 * day },
        { name: "month", seconds: 30 * day },
        { name: "year", seconds: 365 * day },
    ].filter(({ seconds }) => seconds < all);
    return [...offered, { name: "all", seconds: Math.max(all, shortest) }];
}

/** The nearest window that is not shorter than an hour nor longer than the record, and that shows some of it. */
export function clamp(window: Window, beginning: number, newest: number): Window {
    const all = Math.max(newest - beginning, shortest);
    const length = Math.min(Math.max(window.to - window.from, shortest), all * 1.02);
    const middle = (window.from + window.to) / 2;
    const from = Math.min(Math.max(middle - length / 2, beginning - 0.01 * all), Math.max(newest + 0.01 * all - length, beginning - 0.01 * all));
    return { from, to: from + length };
}
