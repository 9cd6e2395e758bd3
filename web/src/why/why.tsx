// Each figure can be asked why.
import type { Now } from "../api/shape";
import { reasons, sinceFull } from "../words/evidence";

export function Why({ now }: { now: Now | null }) {
    if (now === null) return null;
    return (
        <section class="why" aria-labelledby="why">
            <h2 id="why">Why</h2>
            <p>{sinceFull(now)}</p>
            {reasons(now).map(({ question, answer }, index) => (
                <details key={index}>
                    <summary>{question}</summary>
                    <p>{answer}</p>
                </details>
            ))}
        </section>
    );
}
