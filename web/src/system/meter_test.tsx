// Is the meter put in right? One act in sight, what is seen, and what it means: the same steps as at the terminal, reckoned
// by the server.
import { useState } from "preact/hooks";
import type { CommissioningRun, Now } from "../api/shape";
import { useAnswer } from "../api/use_answer";
import { Trouble } from "../parts/trouble";
import { span } from "../words/clock";

type Step = NonNullable<CommissioningRun["step"]>;

/** The answer as the server wants it; null while it is none. */
function answerOf(step: Step, typed: string): string | null {
    if (step.ask === "nothing" || step.ask === "yes_or_no") return "";
    const value = Number(typed.replace(",", "."));
    return typed.trim() !== "" && Number.isFinite(value) && value > 0 ? String(value) : null;
}

function Act({ step, now, act }: { step: Step; now: Now | null; act: (what: string) => void }) {
    const [typed, setTyped] = useState("");
    const at = now?.measured ? now.at : null;
    const answer = answerOf(step, typed);
    const done = (said: string) => {
        act(said === "" ? String(at) : `${at}:${said}`);
        setTyped("");
    };
    return (
        <>
            <p class="tell">{step.todo}</p>
            {step.question !== "" && <p>When it is so: {step.question}</p>}
            {(step.ask === "watts" || step.ask === "amperes") && (
                <label class="field">
                    <span>{step.ask}</span>
                    <input type="text" inputMode="decimal" value={typed} onInput={(event) => setTyped(event.currentTarget.value)} />
                </label>
            )}
            <p class="acts">
                {step.ask === "yes_or_no" ?
                    <>
                        <button type="button" class="act main" disabled={at === null} onClick={() => done("0")}>
                            no, nothing
                        </button>
                        <button type="button" class="act main" disabled={at === null} onClick={() => done("1")}>
                            yes, something does
                        </button>
                    </>
                :   <button type="button" class="act main" disabled={at === null || answer === null} onClick={() => done(answer ?? "")}>
                        it is so
                    </button>
                }
                <button type="button" class="act" onClick={() => act("skip")}>
                    leave this test out
                </button>
            </p>
        </>
    );
}

export function MeterTest({ now }: { now: Now | null }) {
    const [acts, setActs] = useState<string[]>([]);
    const { value, trouble, again } = useAnswer<CommissioningRun>(`commissioning/run?acts=${encodeURIComponent(acts.join(";"))}`, acts.length > 0 ? 1.5 : 0);
    const step = value?.step ?? null;
    return (
        <section class="meter-test" aria-labelledby="meter-test">
            <h3 id="meter-test">Is the meter put in right?</h3>
            <Trouble text={trouble} again={again} />
            {value && step && (
                <div role="group" aria-label="The test at hand">
                    <p class="range">
                        Test {step.number + 1} of {value.steps}: {step.title} {step.expected}
                    </p>
                    {value.measuring ?
                        <p class="tell" role="status">
                            It is being measured: touch nothing{value.wait_s !== null && `, ${span(value.wait_s)} to go`}.
                        </p>
                    :   <Act key={acts.length} step={step} now={now} act={(what) => setActs([...acts, what])} />}
                </div>
            )}
            {value && !step && <p class="tell">{value.sound ? "Every test that was made is passed." : "Not every test is passed: see below."}</p>}
            {value && value.findings.length > 0 && (
                <dl class="facts" aria-live="polite">
                    {value.findings.map((one) => (
                        <div key={one.title}>
                            <dt>
                                {one.title} {one.verdict}
                            </dt>
                            <dd>
                                {one.seen !== "-" && <strong>{one.seen}. </strong>}
                                {one.meaning}
                            </dd>
                        </div>
                    ))}
                </dl>
            )}
            {acts.length > 0 && (
                <p class="acts">
                    <button type="button" class="act" onClick={() => setActs([])}>
                        test from the beginning
                    </button>
                </p>
            )}
        </section>
    );
}
