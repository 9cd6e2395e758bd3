// What one appliance draws: the mean while it is on less the mean while it is off, and how sure that is.

export interface Sample {
    at: number;
    current: number;
    voltage: number | null;
}

export interface Level {
    mean: number;
    /** Standard deviation of the mean. */
    sd: number;
    voltage: number | null;
    count: number;
}

/** So many readings at least make a mean that can be trusted. */
export const enough = 8;

export function level(samples: Sample[]): Level {
    const count = samples.length;
    const mean = samples.reduce((sum, one) => sum + one.current, 0) / Math.max(1, count);
    const spread = samples.reduce((sum, one) => sum + (one.current - mean) ** 2, 0) / Math.max(1, count - 1);
    const volts = samples.flatMap((one) => (one.voltage === null ? [] : [one.voltage]));
    return {
        mean,
        sd: Math.sqrt(spread / Math.max(1, count)),
        voltage: volts.length > 0 ? volts.reduce((a, b) => a + b, 0) / volts.length : null,
        count,
    };
}

export interface Draw {
    current: number;
    sd: number;
    power: number | null;
    power_sd: number | null;
}

/** The appliance's own draw, positive; off is measured before and after, so that what drifts meanwhile drops out. */
export function drawOf(before: Level, on: Level, after: Level): Draw {
    const off = (before.mean + after.mean) / 2;
    const drift = Math.abs(before.mean - after.mean) / 2;
    const sd = Math.sqrt(on.sd ** 2 + (before.sd ** 2 + after.sd ** 2) / 4 + drift ** 2 / 3);
    const current = off - on.mean;
    return {
        current,
        sd,
        power: on.voltage === null ? null : current * on.voltage,
        power_sd: on.voltage === null ? null : sd * on.voltage,
    };
}
