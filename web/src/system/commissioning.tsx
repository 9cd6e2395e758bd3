// Putting the system to work, step by step: one step in sight, the present reading beside it, and what was done kept on
// this device.
import { useState } from "preact/hooks";
import { useAnswer } from "../api/use_answer";
import type { Commissioning as Answer, Now } from "../api/shape";
import { Trouble } from "../parts/trouble";
import type { ViewProps } from "../views";
import { flow } from "../words/flow";
import { volts } from "../words/number";
import { MeterTest } from "./meter_test";

const place = "commissioning";

function useDone(): [number, (step: number) => void] {
    const [step, setStep] = useState(() => {
        try {
            return Number(localStorage.getItem(place) ?? 0);
        } catch {
            return 0;
        }
    });
    return [
        step,
        (next) => {
            setStep(next);
            try {
                localStorage.setItem(place, String(next));
            } catch {
                // it holds until the page is closed
            }
        },
    ];
}

function Meter({ now }: { now: Now | null }) {
    if (now === null || !now.measured) return <p class="meter">The meter says nothing yet.</p>;
    return (
        <p class="meter">
            The meter says: <strong>{now.current_a === null ? "no current" : flow(now.current_a)}</strong>
            {now.voltage_v !== null && ` at ${volts(now.voltage_v)}`}
        </p>
    );
}

export function Commissioning({ live }: ViewProps) {
    const { value, trouble, again } = useAnswer<Answer>("commissioning");
    const [kept, setStep] = useDone();
    const steps = value?.steps ?? [];
    const step = Math.min(Math.max(0, kept), steps.length);
    return (
        <section class="plain" aria-labelledby="commissioning">
            <h2 id="commissioning">Putting it to work</h2>
            <p class="caution">
                A bank of batteries can deliver thousands of amperes into a short circuit: main fuse out until a step says
                otherwise, insulated tools, no rings. Inverter output and shore power are a licensed electrician's work.
            </p>
            <Trouble text={trouble} again={again} />
            {value && (
                <>
                    <div class="one-step" role="group" aria-label="The step at hand">
                        <p class="range">
                            {step < steps.length ? `Step ${step + 1} of ${steps.length}` : `All ${steps.length} steps are done`}
                        </p>
                        <p class="tell" aria-live="polite">
                            {steps[step] ?? "It is at work. What is found later stands under what the check finds."}
                        </p>
                        <Meter now={live.now} />
                        <p class="acts">
                            <button type="button" class="act" disabled={step === 0} onClick={() => setStep(step - 1)}>
                                back
                            </button>
                            <button type="button" class="act main" disabled={step >= steps.length} onClick={() => setStep(step + 1)}>
                                done, on
                            </button>
                        </p>
                    </div>
                    <details>
                        <summary>All steps</summary>
                        <ol class="all-steps">
                            {steps.map((text, i) => (
                                <li key={text} class={i < step ? "passed" : ""}>
                                    {text} {i < step && <span class="range">(done)</span>}
                                </li>
                            ))}
                        </ol>
                    </details>
                    <MeterTest now={live.now} />
                    <h3>What to set</h3>
                    <div class="scroll" tabIndex={0} role="region" aria-label="Settings">
                        <table>
                            <thead>
                                <tr>
                                    <th scope="col">Setting, and why</th>
                                    <th scope="col">To</th>
                                </tr>
                            </thead>
                            <tbody>
                                {value.settings.map((one) => (
                                    <tr key={one.what}>
                                        <th scope="row">
                                            {one.what} <span class="range">{one.why}</span>
                                        </th>
                                        <td>{one.value}</td>
                                    </tr>
                                ))}
                            </tbody>
                        </table>
                    </div>
                </>
            )}
        </section>
    );
}
