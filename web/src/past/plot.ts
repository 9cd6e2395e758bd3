// Two charts over one time: the level as strokes, and what went in and out. The time shown can be moved and stretched;
// what was fetched is drawn at once, and whoever made the chart fetches the rest.
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import type { Span } from "../api/shape";
import { dayOf, moment, monthOf, timeOfDay } from "../words/clock";
import { drawFlow } from "./draw_flow";
import { boldness, drawLevel, drawOver } from "./draw_level";
import { palette, type Palette } from "./palette";

const axis_top_px = 8;
const axis_bottom_px = 6;
const flow_px = 104;

export interface Window {
    from: number;
    to: number;
}

/** A second span, and how many seconds later than its own time it is drawn. */
export interface Over {
    span: Span;
    shift: number;
}

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

/** Marks of the time axis, as coarse as they stand apart. */
function timeMarks(_: uPlot, splits: number[], _axis: number, _space: number, apart: number): string[] {
    if (apart >= 300 * 86400) return splits.map((at) => String(moment(at).getFullYear()));
    if (apart >= 27 * 86400) return splits.map(monthOf);
    return splits.map((at) => {
        const midnight = moment(at).getHours() === 0 && moment(at).getMinutes() === 0;
        return apart >= 86400 || (midnight && apart >= 3 * 3600) ? dayOf(at) : timeOfDay(at);
    });
}

export class Plot {
    private charts: uPlot[] = [];
    private bold: Uint8Array;
    private over: Over | null = null;
    private shown: Window;
    private drawn = 0;
    private readonly resize: ResizeObserver;
    private readonly dark = matchMedia("(prefers-color-scheme: dark)");

    constructor(
        readonly place: HTMLElement,
        private span: Span,
        private readonly reserve: number,
        private readonly onPoint: (index: number | null) => void,
    ) {
        this.bold = boldness(span);
        this.shown = { from: span.from, to: span.to };
        this.build();
        this.resize = new ResizeObserver(() => {
            for (const chart of this.charts) chart.setSize({ width: this.place.clientWidth, height: chart.height });
        });
        this.resize.observe(place);
        this.dark.addEventListener("change", this.rebuild);
        addEventListener("look", this.rebuild);
    }

    /** Other data; the time shown stays unless it is given. */
    show(span: Span, over: Over | null, window?: Window): void {
        this.span = span;
        this.bold = boldness(span);
        this.over = over;
        if (window) this.shown = window;
        this.charts.forEach((chart, i) => chart.setData(this.data(i), true));
    }

    /** Another time, drawn from what is there; at the next frame, however often it is called before. */
    move(window: Window): void {
        this.shown = window;
        cancelAnimationFrame(this.drawn);
        this.drawn = requestAnimationFrame(() => {
            for (const chart of this.charts) chart.setScale("x", { min: this.shown.from, max: this.shown.to });
        });
    }

    /** Puts the cursor on one piece of the span. */
    point(index: number): void {
        const chart = this.charts[0];
        const at = this.middle(index);
        if (chart && at !== null) chart.setCursor({ left: chart.valToPos(at, "x"), top: 10 }, true);
    }

    /** Puts the cursor where a finger is. */
    pointAt(clientX: number): void {
        const chart = this.charts[0];
        if (chart) chart.setCursor({ left: clientX - chart.over.getBoundingClientRect().left, top: 10 }, true);
    }

    /** Where the chart's own area lies, across. */
    get box(): { left: number; width: number } {
        const { left, width } = this.charts[0]?.over.getBoundingClientRect() ?? { left: 0, width: 1 };
        return { left, width: Math.max(1, width) };
    }

    destroy(): void {
        cancelAnimationFrame(this.drawn);
        this.resize.disconnect();
        this.dark.removeEventListener("change", this.rebuild);
        removeEventListener("look", this.rebuild);
        for (const chart of this.charts) chart.destroy();
        this.charts = [];
    }

    private readonly rebuild = () => {
        for (const chart of this.charts) chart.destroy();
        this.build();
    };

    private middle(index: number): number | null {
        const from = this.span.edges[index];
        const to = this.span.edges[index + 1];
        return from === undefined || to === undefined ? null : (from + to) / 2;
    }

    private data(chart: number): uPlot.AlignedData {
        const { state_of_charge, current_a } = this.span;
        const at = state_of_charge.map((_, i) => this.middle(i) ?? 0);
        return [at, chart === 0 ? state_of_charge.map((share) => (share === null ? null : share * 100)) : current_a];
    }

    private build(): void {
        const colours = palette(this.place);
        this.charts = [this.options(colours, 0), this.options(colours, 1)].map(
            (options, i) => new uPlot(options, this.data(i), this.place),
        );
    }

    private draw(u: uPlot, isLevel: boolean, colours: Palette): void {
        const { left, top, width, height } = u.bbox;
        u.ctx.save();
        u.ctx.beginPath();
        u.ctx.rect(left, top, width, height);
        u.ctx.clip();
        if (isLevel) {
            drawLevel(u, this.span, this.bold, this.reserve, colours);
            if (this.over) drawOver(u, this.over.span, this.over.shift, colours);
        } else {
            drawFlow(u, this.span, colours);
        }
        u.ctx.restore();
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
                sync: { key: "past" },
                drag: { x: false, y: false, setScale: false },
                points: { show: false },
                y: false,
            },
            scales: {
                x: { time: true, range: () => [this.shown.from, this.shown.to] },
                y: { range: isLevel ? [0, 100] : flowRange },
            },
            series: [{}, { paths: () => null, points: { show: false } }],
            axes: [
                {
                    ...axis,
                    size: isLevel ? 0 : 1.75 * colours.rem,
                    gap: 8,
                    space: 4.25 * colours.rem,
                    values: isLevel ? [] : timeMarks,
                },
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
                drawAxes: [(u) => this.draw(u, isLevel, colours)],
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
