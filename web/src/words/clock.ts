// Moments for people, on this device's clock and in its language.
import { momentSayer, numberSayer } from "./saying";

const hour = 3600;
const day = 24 * hour;

function date(at: number): Date {
    return new Date(at * 1000);
}

export function sameDay(a: number, b: number): boolean {
    return date(a).toDateString() === date(b).toDateString();
}

/** "03:40" or "3:40 AM". */
export const timeOfDay = momentSayer({ hour: "2-digit", minute: "2-digit" });

const weekday = momentSayer({ weekday: "short" });
const weekdayAndDay = momentSayer({ weekday: "short", day: "numeric", month: "short" });
const dayAndYear = momentSayer({ day: "numeric", month: "short", year: "numeric" });

/** "Tue 2 Jun, 18:04". */
export function dayAndTime(at: number): string {
    return `${weekdayAndDay(at)}, ${timeOfDay(at)}`;
}

/** A moment as short as it can be said from `now`: "18:04" on the same day, "Tue 18:04" within six days, else the date. */
export function seenFrom(now: number, at: number): string {
    if (sameDay(now, at)) return timeOfDay(at);
    if (Math.abs(at - now) < 6 * day) {
        return `${weekday(at)} ${timeOfDay(at)}`;
    }
    return weekdayAndDay(at);
}

/** A moment rounded to what is known of it: the wider the range it comes from, the coarser. */
export function rounded(at: number, width: number): number {
    const step = width < 2 * hour ? 5 * 60 : width < 8 * hour ? 10 * 60 : width < day ? 30 * 60 : hour;
    return Math.round(at / step) * step;
}

type Length = "second" | "minute" | "hour" | "day";
const inUnits = (unit: Length) => numberSayer({ style: "unit", unit, unitDisplay: "long" });
const lengths = { second: inUnits("second"), minute: inUnits("minute"), hour: inUnits("hour"), day: inUnits("day") };

/** "40 seconds", "12 minutes", "5 hours", "3 days". */
export function span(seconds: number): string {
    const [count, unit]: [number, Length] =
        seconds < 90 ? [seconds, "second"]
        : seconds < 90 * 60 ? [seconds / 60, "minute"]
        : seconds < 2 * day ? [seconds / hour, "hour"]
        : [seconds / day, "day"];
    return lengths[unit](Math.round(count));
}

export const moment = date;

/** "2 Jun": a day on an axis. */
export const dayOf = momentSayer({ day: "numeric", month: "short" });

/** "Jun 26". */
export const monthOf = momentSayer({ month: "short", year: "2-digit" });

/** A day in full, "Tue 2 June 2026". */
export const fullDay = momentSayer({ weekday: "short", day: "numeric", month: "long", year: "numeric" });

/** A stretch of time in words: "Tue 2 Jun 2026, 18:04 to 19:04", "2 Jun 2026 to 9 Jun 2026". */
export function stretch(from: number, to: number): string {
    if (to - from > 2.5 * day || !sameDay(from, to)) {
        const short = to - from < 2.5 * day;
        const say = (at: number) => dayAndYear(at) + (short ? `, ${timeOfDay(at)}` : "");
        return `${say(from)} to ${say(to)}`;
    }
    return `${fullDay(from)}, ${timeOfDay(from)} to ${timeOfDay(to)}`;
}

/** "March", of the months 0 to 11. */
export function monthName(month: number): string {
    return new Date(2024, month, 15).toLocaleDateString(undefined, { month: "long" });
}
