// What would have happened: a span of the past run against the rules as they are described now.
import { useState } from "preact/hooks";
import { send, sentence } from "../api/ask";
import type { GuardTrial as Outcome } from "../api/shape";
import { Trouble } from "../parts/trouble";
import { useWork, WorkShown } from "../record/work";
import { dayAndTime, span, stretch } from "../words/clock";
import { bandPoints, points, volts } from "../words/number";

const day = 86400;
const lengths = [
    { name: "last week", seconds: 7 * day },
    { name: "last month", seconds: 30 * day },
    { name: "last year", seconds: 365 * day },
];

function Found({ outcome }: { outcome: Outcome }) {
    return (
        <div role="status">
            <p class="summary">
                {stretch(outcome.from, outcome.to)}:{" "}
                {outcome.trips.length === 0 ?
                    "nothing would have tripped."
                :   `tripped ${outcome.trips.length + outcome.left_out} times${outcome.left_out > 0 ? `, the first ${outcome.trips.length} of them below` : ""}.`}
            </p>
            {outcome.trips.map((trip) => (
                <article key={`${trip.guard} ${trip.at}`} class="card warning">
                    <h3>
                        {trip.guard} <span class="state-word">{dayAndTime(trip.at)}</span>
                    </h3>
                    <p>
                        {trip.lasts ? "It had not cleared by the end" : `It cleared after ${span(trip.until - trip.at)}`}; worst {trip.worst}.
                        {trip.voltage_v !== null && ` The voltage was ${volts(trip.voltage_v)}`}
                        {trip.state_of_charge.mean !== null &&
                            `, ${points(trip.state_of_charge.mean)}\u00a0%\u00a0±\u00a0${bandPoints(trip.state_of_charge.sd ?? 0)} were left`}
                        .
                    </p>
                </article>
            ))}
            <h3>How near each came</h3>
            <ul class="lines">
                {outcome.nearest.map((near) => (
                    <li key={near.guard}>
                        <span>{near.guard}</span>{" "}
                        {near.value === null || near.at === null ? "never saw what it watches" : `${near.value}, ${dayAndTime(near.at)}`}; {near.rule}
                    </li>
                ))}
            </ul>
        </div>
    );
}

export function GuardTrial({ newest }: { newest: number }) {
    const [seconds, setSeconds] = useState(30 * day);
    const [trouble, setTrouble] = useState<string | null>(null);
    const { work, watch } = useWork();
    const begin = () => {
        setTrouble(null);
        send("guards/replay", { from: newest - seconds, to: newest })
            .then(watch)
            .catch((fault: unknown) => setTrouble(sentence(fault)));
    };
    const outcome = work?.kind === "replay" && work.state === "done" && work.well ? (work.figures as Outcome) : null;
    return (
        <section aria-labelledby="guard-trial">
            <h3 id="guard-trial">What would have happened</h3>
            <p>The readings of the past are run against the rules as they are described now. Nothing is switched by it.</p>
            <fieldset class="choice">
                <legend class="unseen">How long a time</legend>
                {lengths.map((one) => (
                    <label key={one.name}>
                        <input type="radio" name="trial" checked={one.seconds === seconds} onChange={() => setSeconds(one.seconds)} />
                        <span>{one.name}</span>
                    </label>
                ))}
            </fieldset>
            <Trouble text={trouble} />
            <p class="acts">
                <button type="button" class="act main" disabled={work?.state === "working"} onClick={begin}>
                    try it
                </button>
            </p>
            {work?.kind === "replay" && !outcome && <WorkShown work={work} />}
            {outcome && <Found outcome={outcome} />}
        </section>
    );
}
