// What is left: the level, its figure, and how long it lasts.
import type { Present } from "../../api/shape";
import { Why } from "../../parts/why";
import { direction } from "../../words/flow";
import { amperes, ampHours, bandPoints, degrees, hardlyKnown, points, volts, watts, withBand } from "../../words/number";
import { filling, lasting, type Saying } from "../../words/outlook";
import { Arrow } from "./arrow";
import { Level } from "./level";

function Said({ saying, figure }: { saying: Saying; figure: string }) {
    return (
        <p class="said">
            <span class="lead">{saying.lead}</span> <Why figure={figure} of={saying.lead} />
            <strong>{saying.figure}</strong> <span class="range">{saying.range}</span>
        </p>
    );
}

function Flow({ now }: { now: Present }) {
    const current = now.current_a;
    const where = direction(current ?? 0);
    const power = now.power_w === null || where === "still" ? null : watts(now.power_w);
    const voltage = now.voltage_v === null ? null : volts(now.voltage_v);
    const conditions = [
        power && voltage ? `${power} at ${voltage}` : (power ?? voltage),
        now.temperature_c === null ? null : degrees(now.temperature_c),
    ].filter((text) => text !== null);
    return (
        <p class={`flow ${where}`}>
            <Arrow direction={where} />{" "}
            <strong>
                {current === null ? "no current measured"
                : where === "still" ? "nothing in or out"
                : `${amperes(current)} ${where}`}{" "}
                <Why figure="power" of="current and power" />
            </strong>{" "}
            <span class="range">{conditions.join(", ")}</span>
        </p>
    );
}

export function Left({ now }: { now: Present | null }) {
    return (
        <section class="left" aria-label="What is left">
            <Level now={now} />
            <div class="words">
                <p class="figure">
                    <strong>{now ? points(now.state_of_charge.mean) : "–"}</strong>
                    <span class="percent"> %</span>
                    <span class="band">
                        {" "}
                        ±{"\u00a0"}
                        {now ? bandPoints(now.state_of_charge.sd) : "–"} <small>nine times in ten</small>
                    </span>
                </p>
                {now && (
                    <p class="asked">
                        <Why figure="state_of_charge" of="what is left" /> <Why figure="band" of="what is left" words="how sure?" />
                    </p>
                )}
                {now && (
                    <>
                        <p class="reserve">
                            <strong>
                                {hardlyKnown(now.state_of_charge.sd) ? "Not known yet how much" : (
                                    withBand(now.remaining_ah.mean, now.remaining_ah.sd, "Ah")
                                )}{" "}
                                <Why figure="remaining" of="the ampere-hours" />
                            </strong>{" "}
                            <span class="range">
                                above the reserve of{" "}
                                {ampHours(now.system.reserve * now.full_charge_capacity_ah.mean)}
                            </span>
                        </p>
                        <Said saying={lasting(now)} figure="time_to_empty" />
                        <Said saying={filling(now)} figure="time_to_full" />
                        <Flow now={now} />
                    </>
                )}
            </div>
        </section>
    );
}
