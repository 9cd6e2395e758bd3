// What came in and what went out, by days, weeks or months: in is solid and above the line, out is hatched and below.
import { useState } from "preact/hooks";
import type { Bars } from "../api/shape";
import { ampHours } from "../words/number";
import { nameOf } from "./bars_table";

const width = 640;
const height = 240;
const zero = height / 2;

/** A round amount that is at least as much. */
function roundUp(value: number): number {
    const decade = 10 ** Math.floor(Math.log10(Math.max(value, 1)));
    return ([1, 2, 5, 10].find((digit) => digit * decade >= value) ?? 10) * decade;
}

export function barsSummary(bars: Bars): string {
    const count = bars.from.length;
    if (count === 0) return "Nothing was measured in this time.";
    const sum = (values: number[]) => values.reduce((total, value) => total + value, 0);
    const most = (values: number[]) => values.indexOf(Math.max(...values));
    const noun = count === 1 ? bars.by : `${bars.by}s`;
    return (
        `${count} ${noun}: on the mean ${ampHours(sum(bars.in_ah) / count)} in and ${ampHours(sum(bars.out_ah) / count)} ` +
        `out for each. Most came in: ${nameOf(bars, most(bars.in_ah))}, ${ampHours(Math.max(...bars.in_ah))}; most went ` +
        `out: ${nameOf(bars, most(bars.out_ah))}, ${ampHours(Math.max(...bars.out_ah))}.`
    );
}

function said(bars: Bars, i: number): string {
    return `${nameOf(bars, i)}: ${ampHours(bars.in_ah[i] ?? 0)} in, ${ampHours(bars.out_ah[i] ?? 0)} out`;
}

export function BarChart({ bars }: { bars: Bars }) {
    const [chosen, setChosen] = useState<number | null>(null);
    const count = bars.from.length;
    if (count === 0) return null;
    const last = count - 1;
    const index = chosen === null ? null : Math.min(chosen, last);
    const top = roundUp(Math.max(...bars.in_ah, ...bars.out_ah));
    const each = width / count;
    const room = zero - 14;
    const tall = (ah: number) => (ah / top) * room;
    const gap = Math.min(3, each * 0.2);
    const choose = (event: PointerEvent & { currentTarget: SVGSVGElement }) => {
        const box = event.currentTarget.getBoundingClientRect();
        setChosen(Math.min(last, Math.max(0, Math.floor(((event.clientX - box.left) / box.width) * count))));
    };
    const move = (event: KeyboardEvent) => {
        const step = { ArrowLeft: -1, ArrowRight: 1, PageUp: -7, PageDown: 7, Home: -last, End: last }[event.key];
        if (step === undefined) return;
        event.preventDefault();
        setChosen(Math.min(last, Math.max(0, (index ?? last) + step)));
    };
    return (
        <>
            <div
                class="bars"
                tabIndex={0}
                role="slider"
                aria-label={`In and out, ${bars.by} by ${bars.by}`}
                aria-valuemin={0}
                aria-valuemax={last}
                aria-valuenow={index ?? last}
                aria-valuetext={said(bars, index ?? last)}
                onKeyDown={move}
            >
                <p class="bars-scale" aria-hidden="true">
                    {ampHours(top)} in
                </p>
                <svg
                    viewBox={`0 0 ${width} ${height}`}
                    preserveAspectRatio="none"
                    aria-hidden="true"
                    focusable="false"
                    onPointerDown={choose}
                    onPointerMove={choose}
                >
                    <defs>
                        <pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                            <line x1="0" y1="0" x2="0" y2="5" class="hatching" />
                        </pattern>
                    </defs>
                    {index !== null && <rect class="chosen" x={index * each} y={0} width={each} height={height} />}
                    {bars.in_ah.map((ah, i) => (
                        <rect key={i} class="in" x={i * each + gap / 2} width={each - gap} y={zero - tall(ah)} height={tall(ah)} />
                    ))}
                    {bars.out_ah.map((ah, i) => (
                        <rect key={i} class="out" x={i * each + gap / 2} width={each - gap} y={zero} height={tall(ah)} />
                    ))}
                    <line class="zero" x1="0" x2={width} y1={zero} y2={zero} />
                </svg>
                <p class="bars-scale" aria-hidden="true">
                    {ampHours(top)} out
                </p>
            </div>
            <p class="reading">{index === null ? "Touch the bars, or use the arrow keys, to read them." : said(bars, index)}</p>
        </>
    );
}
