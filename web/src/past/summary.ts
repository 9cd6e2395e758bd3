// A chart in one sentence, and one piece of it in words.
import type { Span } from "../api/shape";
import { dayAndTime, fullDay, seenFrom, span as lengthOf } from "../words/clock";
import { flow } from "../words/flow";
import { ampHours, bandPoints, points } from "../words/number";

const long = 8 * 86400;

export function summary(span: Span): string {
    const known = span.hindsight
        .map((share, i) => ({
            first: share,
            low: span.hindsight_low[i] ?? share,
            high: span.hindsight_high[i] ?? share,
            at: span.edges[i] ?? 0,
        }))
        .filter((moment): moment is { first: number; low: number; high: number; at: number } => moment.first !== null);
    const first = known[0];
    const last = known[known.length - 1];
    if (first === undefined || last === undefined) return "Nothing was measured in this time.";
    const lowest = known.reduce((a, b) => (b.low < a.low ? b : a));
    const highest = known.reduce((a, b) => (b.high > a.high ? b : a));
    const when = (at: number) => (span.to - span.from > long ? fullDay(at) : seenFrom(last.at, at));
    const unseen = span.to - span.from - span.total.seen_s;
    const gap = unseen > 0.02 * (span.to - span.from) ? ` Not measured for ${lengthOf(unseen)} of it.` : "";
    return (
        `From ${points(first.first)}\u00a0% to ${points(last.first)}\u00a0%; lowest ${points(lowest.low)}\u00a0% ` +
        `(${when(lowest.at)}), highest ${points(highest.high)}\u00a0% (${when(highest.at)}). ` +
        `${ampHours(span.total.in_ah)} in, ${ampHours(span.total.out_ah)} out.${gap}`
    );
}

/** What the chart says at one place. */
export function reading(span: Span, index: number): string {
    const at = span.edges[index];
    const share = span.state_of_charge[index] ?? null;
    const current = span.current_a[index] ?? null;
    if (at === undefined) return "";
    const when = (span.edges[index + 1] ?? at) - at >= 86400 ? fullDay(at) : dayAndTime(at);
    if (share === null) return `${when}: not measured`;
    const known = `${when}: ${points(share)}\u00a0%\u00a0±\u00a0${bandPoints(span.state_of_charge_sd[index] ?? 0)}`;
    const later = span.hindsight[index] ?? null;
    const better =
        later === null || Math.round(later * 100) === Math.round(share * 100) ?
            ""
        :   `, known by now as ${points(later)}\u00a0%\u00a0±\u00a0${bandPoints(span.hindsight_sd[index] ?? 0)}`;
    return current === null ? known + better : `${known}${better}, ${flow(current)}`;
}
