// A draw test, step by step, with the live trace: off, on, off again. The page says when each was done; the server reckons.
import { useEffect, useRef, useState } from "preact/hooks";
import type { DrawTest as Answer, Now } from "../api/shape";
import { useAnswer } from "../api/use_answer";
import { Trouble } from "../parts/trouble";
import { span } from "../words/clock";
import { flow } from "../words/flow";
import { type Sample, Trace } from "./trace";

const keys = ["off", "on", "off_again", "end"];
const steps = ["off_before", "on", "off_after", "done"];
const titles = ["Make it quiet", "Off", "On", "Off again"];
const buttons = ["all is off", "now it is on", "now it is off again", "that is all"];
const whenReady = [
    "Switch it on now, nothing else, and say so. Measure for longer if it is to be surer.",
    "Switch it off again now, and say so. Let it run for longer if it switches itself, or if it is to be surer.",
    "That is all, or measure for longer if it is to be surer.",
];
const enough = 8; // readings that make a mean; the server says when they are as sure as one could wish

/** The readings that came since the test began, for the trace. */
function useSamples(now: Now | null, running: boolean) {
    const [samples, setSamples] = useState<Sample[]>([]);
    const last = useRef(0);
    useEffect(() => {
        if (!running || now === null || !now.measured || now.current_a === null || now.at <= last.current) return;
        last.current = now.at;
        const sample = { at: now.at, current: now.current_a };
        setSamples((before) => [...before.slice(-1200), sample]);
    }, [now, running]);
    return { samples, clear: () => setSamples([]) };
}

function question(name: string, moments: number[]): string {
    const said = moments.map((at, i) => `&${keys[i]}=${at}`).join("");
    return `appliances/draw?name=${encodeURIComponent(name)}${said}`;
}

/** How far the step is, in words. */
function progress(answer: Answer): string {
    const cycles = answer.cycles === null ? "" : `; it switches itself, ${answer.cycles} whole cycles seen`;
    if (answer.ready) return `${answer.readings} readings, that is enough${cycles}`;
    const wait = answer.wait_s === null ? "" : `, about ${span(answer.wait_s)} to go`;
    return `${answer.readings} readings${wait}${cycles}`;
}

export function DrawTest({ now, names }: { now: Now | null; names: string[] }) {
    const [name, setName] = useState("");
    const [moments, setMoments] = useState<number[]>([]);
    const begun = moments.length > 0;
    const done = moments.length === keys.length;
    const { samples, clear } = useSamples(now, begun && !done);
    const named = name.trim() !== "";
    const { value: answer, trouble, again } = useAnswer<Answer>(named ? question(name.trim(), moments) : null, done ? 0 : 1.5);
    const measured = now?.measured ? now : null;

    // What is shown must be of the step at hand, not of the one before.
    const expected = steps[Math.max(0, moments.length - 1)];
    const current = answer?.step === expected && (done || answer?.counting === begun) ? answer : null;
    const counted = current?.readings ?? 0;
    const ready = begun ? current?.counting === true && (current.ready || counted >= enough) : named && measured?.current_a != null;
    const next = () => measured && setMoments([...moments, measured.at]);
    const restart = () => {
        clear();
        setMoments([]);
    };
    const marks = moments.map((at) => samples.filter((one) => one.at < at).length);
    return (
        <section class="plain draw-test" aria-labelledby="draw-test">
            <h2 id="draw-test">What does one thing draw?</h2>
            <p class="caution">
                Switch it at its own switch. Leave fuses, inverter output and shore power alone: they can kill and are a licensed electrician's work.
            </p>
            <ol class="steps">
                {titles.map((title, i) => (
                    <li key={title} aria-current={i === moments.length ? "step" : undefined} class={moments.length > i ? "passed" : ""}>
                        {title}
                    </li>
                ))}
            </ol>
            {!begun && (
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
            <Trouble text={trouble} again={again} />
            {!done && (
                <p class="tell">
                    {!begun ?
                        (current?.todo ?? "Choose what to test, best after dark, so that the sun does not change meanwhile.")
                    : ready ?
                        (whenReady[moments.length - 1] ?? "")
                    :   "It is being measured. Touch nothing."}
                </p>
            )}
            {begun && <Trace samples={samples} marks={marks} />}
            {begun && !done && (
                <p class="reading">
                    {measured?.current_a == null ? "No current is measured." : flow(measured.current_a)}
                    {current && `; ${progress(current)}`}
                </p>
            )}
            {done && current?.result && (
                <div class="result" role="status">
                    {current.result.text.trim().split("\n").map((line, i) => (
                        <p key={line}>{i === 0 ? <strong>{line}</strong> : line}</p>
                    ))}
                </div>
            )}
            <p class="acts">
                {!done && (
                    <button type="button" class="act main" disabled={!ready} onClick={next}>
                        {buttons[moments.length]}
                    </button>
                )}
                {begun && (
                    <button type="button" class="act" onClick={restart}>
                        {done ? "test another" : "give up"}
                    </button>
                )}
            </p>
        </section>
    );
}
