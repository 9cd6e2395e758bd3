// What went in and out: in is solid and above the line, out is hatched and below it.
import type uPlot from "uplot";
import type { Span } from "../api/shape";
import { edges } from "./edges";
import type { Palette } from "./palette";

export function drawFlow(u: uPlot, span: Span, colours: Palette): void {
    const context = u.ctx;
    const ratio = devicePixelRatio;
    const zero = u.valToPos(0, "y", true);
    const left = edges(u, span);
    context.save();
    const out = new Path2D();
    context.fillStyle = colours.into;
    span.current_a.forEach((current, i) => {
        if (current === null) return;
        const x = left[i] ?? 0;
        const width = (left[i + 1] ?? x) - x;
        const end = u.valToPos(current, "y", true);
        if (current > 0) context.fillRect(x, end, width, zero - end);
        else out.rect(x, zero, width, end - zero);
    });
    hatch(u, out, colours.out);
    edge(u, span, left, colours.out);
    context.fillStyle = colours.quiet;
    context.fillRect(u.bbox.left, zero - ratio / 2, u.bbox.width, ratio);
    context.restore();
}

function hatch(u: uPlot, area: Path2D, colour: string): void {
    const context = u.ctx;
    const ratio = devicePixelRatio;
    const { left, top, width, height } = u.bbox;
    context.save();
    context.clip(area);
    context.strokeStyle = colour;
    context.lineWidth = ratio;
    context.beginPath();
    for (let x = left - height; x < left + width; x += 4 * ratio) {
        context.moveTo(x, top + height);
        context.lineTo(x + height, top);
    }
    context.stroke();
    context.restore();
}

// The lower edge of what went out, so that it can be read against the scale.
function edge(u: uPlot, span: Span, left: number[], colour: string): void {
    const context = u.ctx;
    context.strokeStyle = colour;
    context.lineWidth = 1.25 * devicePixelRatio;
    context.beginPath();
    let drawing = false;
    span.current_a.forEach((current, i) => {
        if (current === null || current > 0) {
            drawing = false;
            return;
        }
        const x = left[i] ?? 0;
        const y = u.valToPos(current, "y", true);
        if (drawing) context.lineTo(x, y);
        else context.moveTo(x, y);
        context.lineTo(left[i + 1] ?? x, y);
        drawing = true;
    });
    context.stroke();
}
