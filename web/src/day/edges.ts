import type uPlot from "uplot";
import type { Series } from "../api/shape";

/** Where each piece of the series begins, and where the last one ends, in whole pixels of the canvas: no seams. */
export function edges(u: uPlot, series: Series): number[] {
    return [...series.at, series.to].map((at) => Math.round(u.valToPos(at, "x", true)));
}
