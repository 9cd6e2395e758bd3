// The current as it comes, for as long as a test runs; each step begins at a line.
import { amperes } from "../words/number";

export interface Sample {
    at: number;
    current: number;
}

const width = 600;
const height = 160;

export function Trace({ samples, marks }: { samples: Sample[]; marks: number[] }) {
    const currents = samples.map((one) => one.current);
    const low = Math.min(0, ...currents);
    const high = Math.max(0, ...currents);
    const reach = Math.max(high - low, 1);
    const y = (current: number) => 8 + ((high - current) / reach) * (height - 16);
    const x = (i: number) => (i / Math.max(1, samples.length - 1, 40)) * width;
    const path = samples.map((one, i) => `${i === 0 ? "M" : "L"}${x(i).toFixed(1)} ${y(one.current).toFixed(1)}`).join("");
    const words =
        samples.length === 0 ?
            "No reading yet."
        :   `${samples.length} readings, between ${amperes(low)} and ${amperes(high)} (out below, in above).`;
    return (
        <figure class="trace">
            <svg viewBox={`0 0 ${width} ${height}`} preserveAspectRatio="none" role="img" aria-label={words}>
                <line class="zero" x1="0" x2={width} y1={y(0)} y2={y(0)} />
                {marks.slice(1).map((mark) => (
                    <line key={mark} class="mark" x1={x(mark)} x2={x(mark)} y1="0" y2={height} />
                ))}
                <path d={path} />
            </svg>
        </figure>
    );
}
