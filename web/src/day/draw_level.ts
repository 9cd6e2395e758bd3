// The level through time, in the same strokes as the level now: one for each two percent.
import type uPlot from "uplot";
import type { Series } from "../api/shape";
import { chanceOfAtLeast } from "../level/chance";
import { edges } from "./edges";
import type { Palette } from "./palette";

const each = 2;
const boldest = 0.6; // of the room a stroke has
const dash_px = 5;
const gap_px = 3;

export function drawLevel(u: uPlot, series: Series, reserve: number, colours: Palette): void {
    const context = u.ctx;
    const ratio = devicePixelRatio;
    const room = Math.abs(u.valToPos(each, "y", true) - u.valToPos(0, "y", true));
    const left = edges(u, series);
    context.save();
    for (let percent = each; percent <= 100; percent += each) {
        const middle = u.valToPos(percent - each / 2, "y", true);
        const isReserve = percent <= reserve * 100;
        context.fillStyle = isReserve ? colours.out : colours.level;
        series.at.forEach((_, i) => {
            const x = left[i] ?? 0;
            const mean = series.state_of_charge[i] ?? null;
            if (mean === null) return;
            const chance = chanceOfAtLeast((percent - each / 2) / 100, mean, series.state_of_charge_sd[i] ?? 0);
            const along = (x - (left[0] ?? 0)) / ratio + percent * 2;
            if (chance < 0.02 || (isReserve && along % (dash_px + gap_px) > dash_px)) return;
            const height = chance * boldest * room;
            context.fillRect(x, middle - height / 2, (left[i + 1] ?? x) - x, height);
        });
    }
    drawHindsight(u, series, left, colours);
    context.restore();
}

// What is known by now of then: dots, on a halo so that they show on the strokes.
function drawHindsight(u: uPlot, series: Series, left: number[], colours: Palette): void {
    const context = u.ctx;
    const ratio = devicePixelRatio;
    const step = (left[1] ?? 0) - (left[0] ?? 0);
    const apart = Math.max(1, Math.round((6 * ratio) / step));
    series.at.forEach((_, i) => {
        const x = left[i] ?? 0;
        const share = series.hindsight_state_of_charge[i] ?? null;
        if (share === null || i % apart !== 0) return;
        const y = u.valToPos(share * 100, "y", true);
        for (const [radius, colour] of [
            [2.6, colours.paper],
            [1.5, colours.into],
        ] as const) {
            context.beginPath();
            context.fillStyle = colour;
            context.arc(x + step / 2, y, radius * ratio, 0, 2 * Math.PI);
            context.fill();
        }
    });
}
