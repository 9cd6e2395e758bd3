// What the check of the design finds, the worst first; each with its figures, its rule and what would mend it.
import { useAnswer } from "../api/use_answer";
import type { Finding, Judged } from "../api/shape";
import { Trouble } from "../parts/trouble";
import type { ViewProps } from "../views";

const order = { danger: 0, warning: 1, note: 2 } as const;
const marks = { danger: "!!", warning: "!", note: "·" } as const;

/** A sentence of the program's, in which what is typed stands between back ticks. */
function Sentence({ text }: { text: string }) {
    return <>{text.split("`").map((part, i) => (i % 2 === 1 ? <code key={i}>{part}</code> : part))}</>;
}

export function FindingList({ findings }: { findings: Finding[] }) {
    const sorted = [...findings].sort((a, b) => order[a.severity] - order[b.severity]);
    return (
        <>
            {sorted.map((finding) => (
                <article key={`${finding.rule} ${finding.subject}`} class={`card ${finding.severity}`}>
                    <h3>
                        <span class="mark-word" aria-hidden="true">
                            {marks[finding.severity]}
                        </span>{" "}
                        {finding.severity}: {finding.subject}
                    </h3>
                    <p>
                        <Sentence text={finding.sentence} />
                    </p>
                    <p>
                        <strong>To mend it:</strong> <Sentence text={finding.mend} />
                    </p>
                    <details>
                        <summary>Why</summary>
                        <p>{finding.figures.map((f) => `${f.name} ${f.value ?? "not known"} ${f.unit}`.trim()).join("; ")}</p>
                        <p>
                            <Sentence text={finding.source} /> ({finding.rule})
                        </p>
                    </details>
                </article>
            ))}
        </>
    );
}

export function Findings(_: ViewProps) {
    const { value, trouble, again } = useAnswer<Judged>("findings");
    const counted = (severity: Finding["severity"]) => value?.findings.filter((one) => one.severity === severity).length ?? 0;
    return (
        <section class="plain" aria-labelledby="findings">
            <h2 id="findings">What the check finds</h2>
            <Trouble text={trouble} again={again} />
            <Trouble text={value?.trouble ?? null} />
            {value && (
                <p class="summary">
                    {value.findings.length === 0 ?
                        "Nothing was found, or no design is described yet: circuits, chargers and appliances are checked once they stand in the description."
                    :   `Dangers: ${counted("danger")}, warnings: ${counted("warning")}, notes: ${counted("note")}.`}
                </p>
            )}
            {value && <FindingList findings={value.findings} />}
            {value && value.cautions.length > 0 && (
                <>
                    <h3>Keep in mind</h3>
                    <ul class="cautions">
                        {value.cautions.map((caution) => (
                            <li key={caution}>{caution}</li>
                        ))}
                    </ul>
                </>
            )}
        </section>
    );
}
