// Figures for people: a unit, a sign in words, no more digits than are known.
import { numberSayer } from "./saying";

/** A 90 % band is mean plus or minus this many standard deviations. */
export const band90 = 1.645;

const withDecimals = [0, 1, 2, 3].map((digits) => numberSayer({ minimumFractionDigits: digits, maximumFractionDigits: digits }));

/** At most three decimals; what is rounded to nothing has no sign. */
function format(value: number, decimals: number): string {
    const nothing = Math.abs(value) < 0.5 * 10 ** -decimals;
    return (withDecimals[decimals] as (value: number) => string)(nothing ? 0 : value);
}

/** Whole points of a share: 62. */
export function points(share: number): string {
    return format(Math.round(share * 100), 0);
}

/** Half the 90 % band of a share in whole points, never less than 1: nobody knows it better than that. */
export function bandPoints(sd: number): string {
    return format(Math.max(1, Math.round(band90 * sd * 100)), 0);
}

/** True where the band of a share is so wide that next to nothing is known of it. */
export function hardlyKnown(sd: number): boolean {
    return band90 * sd >= 0.35;
}

/** An amount without its sign; one decimal below ten. */
export function amount(value: number): string {
    const size = Math.abs(value);
    return format(size, size < 9.95 ? 1 : 0);
}

// A figure and its unit stay on one line: the blank between them does not break.
export const amperes = (value: number) => `${amount(value)}\u00a0A`;
export const watts = (value: number) => `${format(Math.abs(value), 0)}\u00a0W`;
export const volts = (value: number) => `${format(value, 2)}\u00a0V`;
export const ampHours = (value: number) => `${amount(value)}\u00a0Ah`;
export const degrees = (value: number) => `${format(value, 0)}\u00a0°C`;

/** "187 Ah ± 6": the band rounded up to one digit, the value ending at the same place. */
export function withBand(value: number, sd: number, unit: string): string {
    const half = band90 * sd;
    const decimals = half >= 1 || half === 0 ? 0 : Math.min(3, Math.ceil(-Math.log10(half)));
    return `${format(value, decimals)}\u00a0${unit}\u00a0±\u00a0${format(Math.max(half, 10 ** -decimals), decimals)}`;
}
export const wattHours = (value: number) => `${format(Math.abs(value), 0)}\u00a0Wh`;
export const count = (value: number) => value.toLocaleString();

/** "119 MB": bytes as files are sold. */
export function bytes(value: number): string {
    const unit = value >= 1e9 ? "gigabyte" : value >= 1e6 ? "megabyte" : "kilobyte";
    const size = value / { gigabyte: 1e9, megabyte: 1e6, kilobyte: 1e3 }[unit];
    return size.toLocaleString(undefined, { style: "unit", unit, maximumFractionDigits: size < 10 ? 1 : 0 });
}
