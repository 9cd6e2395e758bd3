import type uPlot from "uplot";
import type { Span } from "../api/shape";

/** Where each piece begins, and where the last one ends, in whole pixels of the canvas: no seams. `shift` moves it in
 * time, in seconds. */
export function edges(u: uPlot, span: Span, shift = 0): number[] {
    return span.edges.map((at) => Math.round(u.valToPos(at + shift, "x", true)));
}
