// How long it lasts, and when it is full, as sentences with a main figure.
import type { Present, TimeRange } from "../api/shape";
import { rounded, sameDay, seenFrom } from "./clock";
import { hardlyKnown } from "./number";

export interface Saying {
    /** What the figure is: "Lasts until". */
    lead: string;
    /** The figure: "Wed 03:40". */
    figure: string;
    /** How sure: "between 01:10 and 09:00". */
    range: string;
}

const longest = 10 * 24 * 3600; // the server looks no further ahead
const old = 600; // seconds: from an older reading nothing is foretold

/** The moments of a range, none of them before now; where it crosses midnight each has its day. */
function moments(present: Present, range: TimeRange) {
    const now = present.at + present.age_s;
    const width = (range.high ?? longest) - (range.low ?? 0);
    const at = (after: number | null) => {
        if (after === null) return null;
        return after <= present.age_s ? now : Math.max(rounded(present.at + after, width), now);
    };
    const all = [at(range.low), at(range.likely), at(range.high)];
    const oneDay = all.every((moment) => moment === null || moment === now || sameDay(now, moment));
    const [low = null, likely = null, high = null] = all.map((moment) => {
        if (moment === null) return null;
        if (moment === now) return "now";
        return `${!oneDay && sameDay(now, moment) ? "today " : ""}${seenFrom(now, moment)}`;
    });
    return { low, likely, high };
}

function notKnown(now: Present, lead: string): Saying {
    const range =
        now.age_s > old ? "the newest reading is too old"
        : hardlyKnown(now.state_of_charge.sd) ? "first the battery must show where it stands: full, at rest, or empty"
        : "too little has been measured";
    return { lead, figure: now.age_s > old ? "not known now" : "not known yet", range };
}

/** How long the charge above the reserve lasts, as the days usually go. */
export function lasting(now: Present): Saying {
    const range = now.time_to_empty_s;
    if (range === null || now.age_s > old) return notKnown(now, "How long it lasts is");
    if (range.likely !== null && range.likely <= 0) {
        return { lead: "Nothing is left", figure: "in reserve", range: "what is drawn now is what was put by" };
    }
    const { low, likely, high } = moments(now, range);
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
    if (range === null || now.age_s > old) return notKnown(now, "When it is full is");
    if (range.likely !== null && range.likely <= 0) return { lead: "It is", figure: "full", range: "as far as is known" };
    const { low, likely, high } = moments(now, range);
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
