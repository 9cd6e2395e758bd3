// Where the readings come from, and how each source does.
import { useAnswer } from "../api/use_answer";
import type { Sources as Answer } from "../api/shape";
import { Trouble } from "../parts/trouble";
import type { ViewProps } from "../views";
import { dayAndTime, span } from "../words/clock";
import { count } from "../words/number";

const told = {
    well: "does well",
    late: "is late",
    silent: "is silent",
    refused: "refuses",
} as const;

export function Sources(_: ViewProps) {
    const { value, trouble, again } = useAnswer<Answer>("sources", 10);
    return (
        <section class="plain" aria-labelledby="sources">
            <h2 id="sources">Where the readings come from</h2>
            <Trouble text={trouble} again={again} />
            {value?.sources.length === 0 && (
                <p>
                    No source is described. A <code>[[source]]</code> in <a href="#/system?part=description">the description</a>{" "}
                    says how a meter is read; a log of another meter can be <a href="#/record">brought in</a> meanwhile.
                </p>
            )}
            {value?.sources.map((source) => (
                <article key={source.name} class={`card ${source.state}`}>
                    <h3>
                        {source.name} <span class="state-word">{told[source.state]}</span>
                    </h3>
                    {source.message && <p>{source.message}</p>}
                    <dl class="facts">
                        <div>
                            <dt>Read by</dt>
                            <dd>{source.kind}</dd>
                        </div>
                        <div>
                            <dt>Newest reading</dt>
                            <dd>{source.last === null ? "none yet" : dayAndTime(source.last)}</dd>
                        </div>
                        <div>
                            <dt>A reading each</dt>
                            <dd>{source.interval_s === null ? "not known" : span(source.interval_s)}</dd>
                        </div>
                        <div>
                            <dt>Readings, and faults</dt>
                            <dd>
                                {count(source.readings)}, {count(source.faults)}
                            </dd>
                        </div>
                    </dl>
                </article>
            ))}
        </section>
    );
}
