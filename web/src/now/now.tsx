// Right now: what is left, how sure that is, how long it lasts; the last day; what the guards did.
import { useAnswer } from "../api/use_answer";
import type { Guards, Present } from "../api/shape";
import { Trouble } from "../parts/trouble";
import { Why } from "../parts/why";
import type { ViewProps } from "../views";
import { dayAndTime, seenFrom } from "../words/clock";
import { flow } from "../words/flow";
import { ampHours, withBand } from "../words/number";
import { Day } from "./day";
import { FirstRun } from "./first_run";
import { Left } from "./level/left";

function Flows({ now }: { now: Present }) {
    if (now.flows.length === 0) return null;
    return (
        <section class="plain" aria-labelledby="flows">
            <h2 id="flows">What brings and takes</h2>
            <ul class="lines">
                {now.flows.map((one) => (
                    <li key={one.name}>
                        <span>{one.name}</span> <strong>{one.current_a === null ? "not measured" : flow(one.current_a)}</strong>
                    </li>
                ))}
            </ul>
        </section>
    );
}

function GuardsNow({ now }: { now: Present }) {
    const { value } = useAnswer<Guards>("guards", 10);
    if (value === null || value.guards.length + value.acts.length === 0) return null;
    return (
        <section class="plain" aria-labelledby="guarded">
            <h2 id="guarded">What the guards do</h2>
            <ul class="lines">
                {value.guards.map((guard) => (
                    <li key={guard.name}>
                        <span>{guard.name}</span> <strong>{guard.state}</strong>
                    </li>
                ))}
            </ul>
            <ul class="lines">
                {value.acts.slice(0, 5).map((act) => (
                    <li key={`${act.at} ${act.guard} ${act.what}`}>
                        <span>{seenFrom(now.at, act.at)}</span> {act.guard}: {act.what}
                    </li>
                ))}
            </ul>
        </section>
    );
}

/** What is wrong with the measuring or the record; nothing as long as all is well. */
function Troubles({ of }: { of: string[] }) {
    return (
        <>
            {of.map((one) => (
                <Trouble key={one} text={one} />
            ))}
        </>
    );
}

function Known({ now }: { now: Present }) {
    const full = now.last_full;
    return (
        <section class="known" aria-labelledby="known">
            <h2 id="known">How this is known</h2>
            <dl class="facts">
                <div>
                    <dt>
                        Last full <Why figure="last_full" of="last full" />
                    </dt>
                    <dd>
                        {full === null ?
                            "not seen yet"
                        :   `${dayAndTime(full.at)}; since then ${ampHours(full.out_since_ah)} out, ${ampHours(full.in_since_ah)} in`}
                    </dd>
                </div>
                <div>
                    <dt>
                        The battery holds <Why figure="full_charge_capacity" of="what the battery holds" />
                    </dt>
                    <dd>
                        {withBand(now.full_charge_capacity_ah.mean, now.full_charge_capacity_ah.sd, "Ah")}; its label says{" "}
                        {ampHours(now.system.design_capacity_ah)}
                    </dd>
                </div>
                <div>
                    <dt>
                        The meter's own error <Why figure="meter_offset" of="the meter's own error" />
                    </dt>
                    <dd>{withBand(now.meter_offset_a.mean, now.meter_offset_a.sd, "A")} when nothing flows</dd>
                </div>
            </dl>
        </section>
    );
}

export function RightNow({ now }: ViewProps) {
    if (now === null) return <Left now={null} />;
    if (!now.measured)
        return (
            <>
                <Troubles of={now.troubles} />
                <FirstRun />
            </>
        );
    return (
        <>
            <Troubles of={now.troubles} />
            <Left now={now} />
            <Day now={now} />
            <Flows now={now} />
            <GuardsNow now={now} />
            <Known now={now} />
        </>
    );
}
