// Why the figures are what they are: from which readings, by which rule.
import type { Now } from "../api/shape";
import { dayAndTime, seenFrom } from "./clock";
import { ampHours, points, withBand } from "./number";

const told: Record<Now["evidence"]["kind"], string> = {
    none: "nothing yet",
    full: "full: the charger held its voltage and the current had fallen away",
    empty: "empty: the voltage fell to its end",
    rest_voltage: "the voltage at rest",
    voltage_under_load: "the voltage, allowing for the current",
};

/** "Last full Sat 14:10; since then 41 Ah out, 12 Ah in." */
export function sinceFull(now: Now): string {
    const full = now.last_full;
    if (full === null) return "It has not been seen full yet.";
    return `Last full ${seenFrom(now.at, full.at)}; since then ${ampHours(full.out_since_ah)} out, ${ampHours(full.in_since_ah)} in.`;
}

export interface Reason {
    question: string;
    answer: string;
}

/** A question and an answer for each figure on the page. */
export function reasons(now: Now): Reason[] {
    const soc = now.state_of_charge;
    const reserve = points(now.system.reserve);
    const evidence = now.evidence;
    const pinned =
        evidence.at === null ?
            "Nothing has pinned it yet: neither full, nor empty, nor a rest. The band is wide until something does."
        :   `What pinned it last, ${dayAndTime(evidence.at)}, was ${told[evidence.kind]}. ` +
            `Counted since: ${ampHours(evidence.out_since_ah)} out, ${ampHours(evidence.in_since_ah)} in.`;
    return [
        {
            question: `Why ${points(soc.mean)}\u00a0%?`,
            answer: `The share of what the battery holds when it is full. ${pinned}`,
        },
        {
            question: "How sure is it?",
            answer:
                `Nine times out of ten the truth lies inside the band. It widens while charge is only counted, for no meter ` +
                `counts perfectly, and narrows when the battery shows where it stands.`,
        },
        {
            question: "How long does it last?",
            answer:
                `Until ${reserve}\u00a0% is left, the reserve of this system. Reckoned from what flows now and from how your ` +
                `days have gone, hour by hour, in the last two weeks; the sun that usually comes is counted in.`,
        },
        {
            question: "What does the battery hold?",
            answer:
                `Full, it gives ${withBand(now.full_charge_capacity_ah.mean, now.full_charge_capacity_ah.sd, "Ah")}, as ` +
                `learned from its own charges and discharges. Its label says ${ampHours(now.system.design_capacity_ah)}.`,
        },
        {
            question: "Does the meter read true?",
            answer:
                `When nothing flows it would read ${withBand(now.meter_offset_a.mean, now.meter_offset_a.sd, "A")}. ` +
                `That is taken off before anything is counted.`,
        },
    ];
}
