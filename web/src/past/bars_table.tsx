// Hours, days, weeks or months as a table, for whoever reads figures rather than a picture.
import type { Bars } from "../api/shape";
import { fullDay, monthOf, seenFrom } from "../words/clock";
import { ampHours, bandPoints, points } from "../words/number";

const most_rows = 400;

export const unitNames = { hour: "Hour from", day: "Day", week: "Week from", month: "Month" } as const;

export function nameOf(bars: Bars, index: number): string {
    const at = bars.from[index] ?? 0;
    if (bars.by === "hour") return seenFrom(bars.to[bars.to.length - 1] ?? at, at);
    return bars.by === "month" ? monthOf(at + 15 * 86400) : fullDay(at + 12 * 3600);
}

function level(bars: Bars, i: number): string {
    const low = bars.hindsight_low[i] ?? null;
    const high = bars.hindsight_high[i] ?? null;
    if (low === null || high === null) return "not known";
    const band = bandPoints(bars.hindsight_sd[i] ?? 0);
    return points(low) === points(high) ?
            `${points(low)}\u00a0%\u00a0±\u00a0${band}`
        :   `${points(low)}–${points(high)}\u00a0%\u00a0±\u00a0${band}`;
}

export function BarsTable({ bars }: { bars: Bars }) {
    const rows = bars.from.map((_, i) => i).reverse();
    return (
        <div class="scroll" tabIndex={0} role="region" aria-label="Table of what came in and went out">
            <table>
                <caption>
                    Newest first; what was left, lowest to highest, as it is known by now.
                    {rows.length > most_rows && ` The newest ${most_rows} of ${rows.length}: choose longer pieces for all.`}
                </caption>
                <thead>
                    <tr>
                        <th scope="col">{unitNames[bars.by]}</th>
                        <th scope="col">Left</th>
                        <th scope="col">In</th>
                        <th scope="col">Out</th>
                    </tr>
                </thead>
                <tbody>
                    {rows.slice(0, most_rows).map((i) => (
                        <tr key={bars.from[i]}>
                            <th scope="row">{nameOf(bars, i)}</th>
                            <td>{level(bars, i)}</td>
                            <td>{ampHours(bars.in_ah[i] ?? 0)}</td>
                            <td>{ampHours(bars.out_ah[i] ?? 0)}</td>
                        </tr>
                    ))}
                </tbody>
            </table>
        </div>
    );
}
