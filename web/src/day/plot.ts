// Two charts over one time: the level as strokes, and what went in and out.
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import type { Series } from "../api/shape";
import { drawFlow } from "./draw_flow";
import { drawLevel } from "./draw_level";
import { palette, type Palette } from "./palette";

const axis_top_px = 8;
const axis_bottom_px = 6;
const flow_px = 104;

/** The numbers of an axis without sign (above the line is in, below it is out); the topmost has the unit. */
const withUnit = (unit: string) => (_: uPlot, values: number[]) =>
    values.map((value) => `${Math.abs(value)}${value === Math.max(...values) ? ` ${unit}` : ""}`);

/** Nothing, and the largest round current that fits, on whichever side it fits. */
function flowMarks(_: uPlot, _axis: number, low: number, high: number): number[] {
    const reach = Math.max(-low, high);
    const decade = 10 ** Math.floor(Math.log10(reach));
    const step = ([5, 2, 1].find((digit) => digit * decade <= reach) ?? 1) * decade;
    return [-step, 0, step].filter((mark) => mark >= low && mark <= high);
}

function hourMarks(_: uPlot, splits: number[]): string[] {
    return splits.map((at) =>
        new Date(at * 1000).toLocaleTimeString(undefined, { hour: "2-digit", minute: "2-digit" }),
    );
}

export class Plot {
    private charts: uPlot[] = [];
    private readonly resize: ResizeObserver;
    private readonly dark = matchMedia("(prefers-color-scheme: dark)");

    constructor(
        private readonly place: HTMLElement,
        private series: Series,
        private readonly reserve: number,
        private readonly onPoint: (index: number | null) => void,
    ) {
        this.build();
        this.resize = new ResizeObserver(() => {
            for (const chart of this.charts) chart.setSize({ width: this.place.clientWidth, height: chart.height });
        });
        this.resize.observe(place);
        this.place.addEventListener("pointermove", this.follow);
        this.dark.addEventListener("change", this.rebuild);
    }

    show(series: Series): void {
        this.series = series;
        this.charts.forEach((chart, i) => chart.setData(this.data(i), true));
    }

    /** Puts the cursor on one piece of the series. */
    point(index: number): void {
        const chart = this.charts[0];
        const at = this.series.at[index];
        if (chart && at !== undefined) chart.setCursor({ left: chart.valToPos(at, "x"), top: 10 }, true);
    }

    destroy(): void {
        this.resize.disconnect();
        this.place.removeEventListener("pointermove", this.follow);
        this.dark.removeEventListener("change", this.rebuild);
        for (const chart of this.charts) chart.destroy();
        this.charts = [];
    }

    // A finger that moves along the chart; a mouse is followed by the chart itself.
    private readonly follow = (event: PointerEvent) => {
        const chart = this.charts[0];
        if (!chart || event.pointerType === "mouse") return;
        chart.setCursor({ left: event.clientX - chart.over.getBoundingClientRect().left, top: 10 }, true);
    };

    private readonly rebuild = () => {
        for (const chart of this.charts) chart.destroy();
        this.build();
    };

    private data(chart: number): uPlot.AlignedData {
        const { at, state_of_charge, current_a } = this.series;
        return [at, chart === 0 ? state_of_charge.map((share) => (share === null ? null : share * 100)) : current_a];
    }

    private build(): void {
        const colours = palette(this.place);
        this.charts = [this.options(colours, 0), this.options(colours, 1)].map(
            (options, i) => new uPlot(options, this.data(i), this.place),
        );
    }

    private options(colours: Palette, chart: number): uPlot.Options {
        const isLevel = chart === 0;
        const pitch = this.place.clientWidth < 500 ? 4 : 5; // of a stroke, as on the level beside it
        const font = `${0.75 * colours.rem}px ${colours.font}`;
        const axis = {
            stroke: colours.quiet,
            font,
            grid: { show: false },
            ticks: { show: false },
        };
        return {
            width: this.place.clientWidth,
            height: isLevel ? 50 * pitch + axis_top_px + axis_bottom_px : flow_px,
            padding: [axis_top_px, 2, isLevel ? axis_bottom_px : 0, 0],
            legend: { show: false },
            cursor: {
                sync: { key: "day" },
                drag: { x: false, y: false },
                points: { show: false },
                y: false,
            },
            scales: { x: { time: true, range: () => [this.series.from, this.series.to] }, y: { range: isLevel ? [0, 100] : flowRange } },
            series: [{}, { paths: () => null, points: { show: false } }],
            axes: [
                { ...axis, size: isLevel ? 0 : 1.75 * colours.rem, gap: 8, space: 3.5 * colours.rem, values: isLevel ? [] : hourMarks },
                {
                    ...axis,
                    size: 2.625 * colours.rem,
                    gap: 4,
                    ...(isLevel ?
                        { splits: () => [0, 50, 100], values: withUnit("%") }
                    :   { splits: flowMarks, values: withUnit("A") }),
                },
            ],
            hooks: {
                drawAxes: [
                    (u) =>
                        isLevel ?
                            drawLevel(u, this.series, this.reserve, colours)
                        :   drawFlow(u, this.series, colours),
                ],
                setCursor: isLevel ? [(u) => this.onPoint(u.cursor.idx ?? null)] : [],
            },
        };
    }
}

// Both directions always have some room, so that the zero line is no edge.
function flowRange(_: uPlot, low: number | null, high: number | null): [number, number] {
    const reach = Math.max(Math.abs(low ?? 0), Math.abs(high ?? 0), 2);
    return [Math.min(low ?? 0, -0.2 * reach) * 1.08, Math.max(high ?? 0, 0.2 * reach) * 1.08];
}
