// The level: a hundred strokes, one for each percent, each as bold as it is likely to be there. Where little is known
// the edge fades over many strokes; where much is known it is sharp. Strokes of the reserve are broken.
import type { Present } from "../../api/shape";
import { bandPoints, band90, points } from "../../words/number";
import { chanceOfAtLeast } from "./chance";

const strokes = Array.from({ length: 100 }, (_, i) => i + 1);
const pitch = 4;
const boldest = 2.5;
const faintest = 0.35;

const y = (percent: number) => (100 - percent + 0.5) * pitch;

function clamp(share: number): number {
    return Math.min(1, Math.max(0, share));
}

export function Level({ now }: { now: Present | null }) {
    const mean = now?.state_of_charge.mean ?? 0;
    const sd = now?.state_of_charge.sd ?? 0;
    const reserve = (now?.system.reserve ?? 0) * 100;
    const low = clamp(mean - band90 * sd);
    const high = clamp(mean + band90 * sd);
    const label =
        now ?
            `${points(mean)} percent, give or take ${bandPoints(sd)}: nine times in ten between ${points(low)} and ` +
            `${points(high)}. The lowest ${points(now.system.reserve)} are the reserve.`
        :   "not known yet";
    return (
        <div class="level" role="img" aria-label={label}>
            <svg viewBox={`0 0 100 ${100 * pitch}`} preserveAspectRatio="none" aria-hidden="true" focusable="false">
                {strokes.map((percent) => {
                    const chance = now ? chanceOfAtLeast((percent - 0.5) / 100, mean, sd) : 0;
                    const kind = chance < 0.01 ? "empty" : percent <= reserve ? "reserve" : "there";
                    return (
                        <line
                            key={percent}
                            x1="0"
                            x2={percent % 10 === 0 ? 100 : 94}
                            y1={y(percent)}
                            y2={y(percent)}
                            class={kind}
                            style={{ strokeWidth: Math.max(faintest, chance * boldest), strokeDashoffset: percent * 2 }}
                        />
                    );
                })}
            </svg>
            {now && (
                <div class="scale" aria-hidden="true">
                    {high < 0.95 && (
                        <span class="mark end" style={{ top: "0%" }}>
                            100
                        </span>
                    )}
                    <span class="bracket" style={{ top: `${(1 - high) * 100}%`, height: `${(high - low) * 100}%` }} />
                    <span class="mark" style={{ top: `${(1 - (high + low) / 2) * 100}%` }}>
                        {points(low)}–{points(high)}
                    </span>
                    {low > now.system.reserve + 0.06 && (
                        <span class="mark held" style={{ top: `${(1 - now.system.reserve) * 100}%` }}>
                            reserve
                        </span>
                    )}
                    {low > 0.05 && (
                        <span class="mark end" style={{ top: "100%" }}>
                            0
                        </span>
                    )}
                </div>
            )}
        </div>
    );
}
