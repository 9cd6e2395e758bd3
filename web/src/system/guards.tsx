// What guards the system: the rules, how each stands, and what they did.
import { useAnswer } from "../api/use_answer";
import type { Guards as Answer } from "../api/shape";
import { Trouble } from "../parts/trouble";
import type { ViewProps } from "../views";
import { dayAndTime } from "../words/clock";
import { GuardTrial } from "./guard_trial";

export function Guards({ now }: ViewProps) {
    const { value, trouble, again } = useAnswer<Answer>("guards", 5);
    return (
        <section class="plain" aria-labelledby="guards">
            <h2 id="guards">What guards it</h2>
            <p class="caution">
                A guard is a second line. The battery's own management system and the fuses are the first, and they work without
                this computer.
            </p>
            <Trouble text={trouble} again={again} />
            {value?.guards.length === 0 && (
                <p>
                    No guard is described. A guard watches a figure and acts: it can cut the loads before the battery is hurt, refuse
                    to charge a frozen battery, or only send word. Guards are written in{" "}
                    <a href="#/system?part=description">the description</a>.
                </p>
            )}
            {value?.guards.map((guard) => (
                <article key={guard.name} class="card">
                    <h3>
                        {guard.name} <span class="state-word">{guard.state}</span>
                    </h3>
                    <p>{guard.rule}</p>
                    {guard.message && <p>{guard.message}</p>}
                    {guard.since !== null && <p class="range">since {dayAndTime(guard.since)}</p>}
                </article>
            ))}
            {value && value.acts.length > 0 && (
                <>
                    <h3>What they did</h3>
                    <ul class="lines">
                        {value.acts.map((act) => (
                            <li key={`${act.at} ${act.guard} ${act.what}`}>
                                <span>{dayAndTime(act.at)}</span> {act.guard}: {act.what}
                            </li>
                        ))}
                    </ul>
                </>
            )}
            {now?.measured && <GuardTrial newest={now.at} />}
        </section>
    );
}
