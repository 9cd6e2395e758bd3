// A chart in one sentence.
import type { Series } from "../api/shape";
import { seenFrom } from "../words/clock";
import { ampHours, points } from "../words/number";

const sum = (values: number[]) => values.reduce((total, value) => total + value, 0);

export function summary(series: Series): string {
    const known = series.state_of_charge
        .map((share, i) => ({ share, at: series.at[i] ?? 0 }))
        .filter((moment): moment is { share: number; at: number } => moment.share !== null);
    const first = known[0];
    const last = known[known.length - 1];
    if (first === undefined || last === undefined) return "Nothing was measured in the last day.";
    const lowest = known.reduce((a, b) => (b.share < a.share ? b : a));
    const highest = known.reduce((a, b) => (b.share > a.share ? b : a));
    const say = (moment: { share: number; at: number }) => `${points(moment.share)}\u00a0% at ${seenFrom(last.at, moment.at)}`;
    return (
        `From ${points(first.share)}\u00a0% to ${points(last.share)}\u00a0%; lowest ${say(lowest)}, highest ${say(highest)}. ` +
        `${ampHours(sum(series.in_ah))} in, ${ampHours(sum(series.out_ah))} out.`
    );
}
