// A draw test, step by step, with the live trace: off, on, off again; what differs is what the appliance draws.
import { useEffect, useRef, useState } from "preact/hooks";
import type { Now } from "../api/shape";
import { flow } from "../words/flow";
import { withBand } from "../words/number";
import { drawOf, enough, level, type Sample } from "./measure";
import { Trace } from "./trace";

type Step = "choose" | "before" | "on" | "after" | "done";

const steps: { step: Step; title: string; tell: (name: string) => string; next: string }[] = [
    {
        step: "choose",
        title: "Make it quiet",
        tell: (name) =>
            `Choose what to test. Switch ${name} off, and leave everything else as it is: what runs may run on, but nothing ` +
            `should switch by itself (a refrigerator, a pump). Best after dark, so that the sun does not change meanwhile.`,
        next: "it is off",
    },
    { step: "before", title: "Off", tell: (name) => `Measuring without ${name}. Touch nothing.`, next: "now I switch it on" },
    { step: "on", title: "On", tell: (name) => `Switch ${name} on, wait until it runs as it usually does, and measure.`, next: "now I switch it off" },
    { step: "after", title: "Off again", tell: (name) => `Switch ${name} off again: what has changed meanwhile is taken out.`, next: "that is all" },
];

/** The readings that came since the step began, and all of the test's. */
function useSamples(now: Now | null, running: boolean) {
    const [samples, setSamples] = useState<Sample[]>([]);
    const last = useRef(0);
    useEffect(() => {
        if (!running || now === null || !now.measured || now.current_a === null || now.at <= last.current) return;
        last.current = now.at;
        const sample = { at: now.at, current: now.current_a, voltage: now.voltage_v };
        setSamples((before) => [...before.slice(-1200), sample]);
    }, [now, running]);
    return { samples, clear: () => setSamples([]) };
}

export function DrawTest({ now, names }: { now: Now | null; names: string[] }) {
    const [name, setName] = useState("");
    const [step, setStep] = useState<Step>("choose");
    const [marks, setMarks] = useState<number[]>([]); // how many samples there were when a step began to count
    const { samples, clear } = useSamples(now, step !== "choose" && step !== "done");
    const [settling, setSettling] = useState(0); // so many readings after a switch are not counted
    const what = name.trim() === "" ? "the appliance" : name.trim();
    const measured = now?.measured ? now : null;

    const pieces = [0, 1, 2].map((i) => samples.slice((marks[i] ?? samples.length) + (i > 0 ? settling : 0), marks[i + 1] ?? samples.length));
    const counted = pieces[marks.length - 1]?.length ?? 0;
    const ready = step === "choose" ? name.trim() !== "" && measured?.current_a != null : counted >= enough;
    const current = steps.find((one) => one.step === step);

    const next = () => {
        const at = steps.findIndex((one) => one.step === step);
        const following = steps[at + 1]?.step ?? "done";
        setStep(following);
        if (following !== "done") setMarks([...marks, samples.length]);
        if (step === "choose") setSettling(2);
    };
    const again = () => {
        clear();
        setMarks([]);
        setStep("choose");
    };
    const result = step === "done" ? drawOf(level(pieces[0] ?? []), level(pieces[1] ?? []), level(pieces[2] ?? [])) : null;
    return (
        <section class="plain draw-test" aria-labelledby="draw-test">
            <h2 id="draw-test">What does one thing draw?</h2>
            <p class="caution">
                Switch it at its own switch. Leave fuses, inverter output and shore power alone: they can kill and are a licensed electrician's work.
            </p>
            <ol class="steps">
                {steps.map((one, i) => (
                    <li key={one.step} aria-current={one.step === step ? "step" : undefined} class={marks.length > i || step === "done" ? "passed" : ""}>
                        {one.title}
                    </li>
                ))}
            </ol>
            {step === "choose" && (
                <label class="field">
                    <span>What to test</span>
                    <input type="text" list="appliances" value={name} autoComplete="off" onInput={(event) => setName(event.currentTarget.value)} />
                    <datalist id="appliances">
                        {names.map((one) => (
                            <option key={one} value={one} />
                        ))}
                    </datalist>
                </label>
            )}
            {current && <p class="tell">{current.tell(what)}</p>}
            {step !== "choose" && <Trace samples={samples} marks={marks} />}
            {current && step !== "choose" && (
                <p class="reading">
                    {measured?.current_a == null ? "No current is measured." : flow(measured.current_a)};{" "}
                    {counted < enough ? `${counted} of ${enough} readings` : `${counted} readings, enough`}
                </p>
            )}
            {result && (
                <div class="result" role="status">
                    <p>
                        <strong>
                            {what} draws {withBand(result.current, result.sd, "A")}
                        </strong>
                        {result.power !== null && result.power_sd !== null && `, ${withBand(result.power, result.power_sd, "W")}`}. Left
                        on, that is {withBand(result.current * 24, result.sd * 24, "Ah")} a day.
                    </p>
                    {result.current < 2 * 1.645 * result.sd && (
                        <p>That is less than this test can tell from nothing with confidence: measure longer, or when it is quieter.</p>
                    )}
                </div>
            )}
            <p class="acts">
                {current && (
                    <button type="button" class="act main" disabled={!ready} onClick={next}>
                        {current.next}
                    </button>
                )}
                {step !== "choose" && (
                    <button type="button" class="act" onClick={again}>
                        {step === "done" ? "test another" : "give up"}
                    </button>
                )}
            </p>
        </section>
    );
}
