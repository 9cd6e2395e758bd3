// From mean and standard deviation to how likely there is at least so much.

/** The normal distribution's tail, P(x >= level); Abramowitz and Stegun 26.2.17, error below 1e-7. */
export function chanceOfAtLeast(level: number, mean: number, sd: number): number {
    if (sd <= 0) return level <= mean ? 1 : 0;
    const z = (level - mean) / sd;
    const t = 1 / (1 + 0.2316419 * Math.abs(z));
    const series = t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
    const tail = (series * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI);
    return z >= 0 ? tail : 1 - tail;
}
