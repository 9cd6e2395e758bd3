// How long it lasts, and when it is full, as sentences with a main figure.
import type { Present, TimeRange } from "../api/shape";
import { rounded, sameDay, seenFrom } from "./clock";

export interface Saying {
    /** What the figure is: "Lasts until". */
    lead: string;
    /** The figure: "Wed 03:40". */
    figure: string;
    /** How sure: "between 01:10 and 09:00". */
    range: string;
}

const longest = 10 * 24 * 3600; // the server looks no further ahead

function moments(now: number, range: TimeRange) {
    const width = (range.high ?? longest) - (range.low ?? 0);
    const at = (after: number | null) => (after === null ? null : rounded(now + after, width));
    const likely = at(range.likely);
    const say = (moment: number | null) => {
        if (moment === null) return null;
        const isToday = sameDay(now, moment) && (likely === null || !sameDay(now, likely));
        return `${isToday ? "today " : ""}${seenFrom(now, moment)}`;
    };
    return { low: say(at(range.low)), likely: say(likely), high: say(at(range.high)) };
}

/** How long the charge above the reserve lasts, as the days usually go. */
export function lasting(now: Present): Saying {
    const range = now.time_to_empty_s;
    if (range.likely !== null && range.likely <= 0) {
        return { lead: "Nothing is left", figure: "in reserve", range: "what is drawn now is what was put by" };
    }
    const { low, likely, high } = moments(now.at, range);
    if (likely !== null) {
        return {
            lead: "Lasts until",
            figure: likely,
            range: high === null ? `${low} at the earliest; it may be filled before` : `between ${low} and ${high}`,
        };
    }
    if (low !== null) return { lead: "Likely lasts until", figure: "it is filled again", range: `empty ${low} at the earliest` };
    return { lead: "Lasts", figure: "ten days and more", range: "as your days usually go" };
}

/** When it is full. */
export function filling(now: Present): Saying {
    const range = now.time_to_full_s;
    if (range.likely !== null && range.likely <= 0) return { lead: "It is", figure: "full", range: "as far as is known" };
    const { low, likely, high } = moments(now.at, range);
    if (likely === null) {
        return {
            lead: "Full",
            figure: "not soon",
            range: low === null ? "not within ten days, as your days go" : `${low} at the earliest`,
        };
    }
    return {
        lead: "Full by",
        figure: likely,
        range: high === null ? `${low} at the earliest` : `between ${low} and ${high}`,
    };
}
