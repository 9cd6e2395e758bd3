// In or out, in words.
import { amperes } from "./number";

export type Direction = "in" | "out" | "still";

/** Less than this is no flow that anyone would name; it is below what the meter can tell from nothing. */
const still_a = 0.05;

export function direction(current: number): Direction {
    if (Math.abs(current) < still_a) return "still";
    return current > 0 ? "in" : "out";
}

/** "4.2 A out", "12 A in", "nothing in or out". */
export function flow(current: number): string {
    const where = direction(current);
    return where === "still" ? "nothing in or out" : `${amperes(current)} ${where}`;
}
