// Bringing a log in: chosen, looked at, and only then taken. A log of any make, plain or packed; what is in the record
// already is not added twice.
import { useState } from "preact/hooks";
import { send, sendBytes, sentence } from "../api/ask";
import type { Preview } from "../api/shape";
import { Trouble } from "../parts/trouble";
import { dayAndTime } from "../words/clock";
import { bytes, count, degrees, volts } from "../words/number";

const looked_at = 256 * 1024;

function signWords(preview: Preview): string {
    if (preview.sign === "agrees") return "The sign of the current agrees with the voltage: positive is into the battery.";
    if (preview.sign === "reversed")
        return "The current was the wrong way round (the voltage rises when it falls), so its sign is turned: look whether that is right.";
    return "Whether the current has the right sign cannot be told from so little: below, out of the battery must be negative.";
}

function Shown({ preview }: { preview: Preview }) {
    return (
        <>
            <p class="summary">
                {count(preview.lines)} lines looked at, {count(preview.bad)} of them cannot be read. {signWords(preview)}
            </p>
            {preview.doubts.length > 0 && (
                <ul class="cautions">
                    {preview.doubts.map((doubt) => (
                        <li key={doubt}>{doubt}</li>
                    ))}
                </ul>
            )}
            <div class="scroll" tabIndex={0} role="region" aria-label="The first readings">
                <table>
                    <caption>The first readings, as they would be taken in</caption>
                    <thead>
                        <tr>
                            <th scope="col">Time</th>
                            <th scope="col">Current</th>
                            <th scope="col">Voltage</th>
                            <th scope="col">Temp.</th>
                        </tr>
                    </thead>
                    <tbody>
                        {preview.readings.map((reading, i) => (
                            <tr key={i}>
                                <th scope="row">{dayAndTime(reading.at)}</th>
                                <td>{reading.current_a === null ? "–" : `${reading.current_a.toLocaleString()}\u00a0A`}</td>
                                <td>{reading.voltage_v === null ? "–" : volts(reading.voltage_v)}</td>
                                <td>{reading.temperature_c === null ? "–" : degrees(reading.temperature_c)}</td>
                            </tr>
                        ))}
                    </tbody>
                </table>
            </div>
            {preview.first_bad.length > 0 && (
                <details>
                    <summary>Lines that cannot be read</summary>
                    <ul class="mistakes">
                        {preview.first_bad.map((bad) => (
                            <li key={bad.line}>
                                line {bad.line}: {bad.why} <code>{bad.text}</code>
                            </li>
                        ))}
                    </ul>
                </details>
            )}
        </>
    );
}

/** Sends the log in pieces, and has it taken in. */
async function takeIn(file: File, mapping: string, tell: (share: number) => void): Promise<void> {
    const { upload, piece_bytes } = await send<{ upload: string; piece_bytes: number }>("record/import/begin", {
        name: file.name,
        mapping,
    });
    for (let at = 0; at < file.size; at += piece_bytes) {
        await sendBytes(`record/import/piece?upload=${upload}`, file.slice(at, at + piece_bytes));
        tell(Math.min(1, (at + piece_bytes) / file.size));
    }
    await send("record/import/finish", { upload });
}

export function ImportLog({ onBegun, busy }: { onBegun: () => void; busy: boolean }) {
    const [file, setFile] = useState<File | null>(null);
    const [preview, setPreview] = useState<Preview | null>(null);
    const [mapping, setMapping] = useState("");
    const [sent, setSent] = useState<number | null>(null);
    const [trouble, setTrouble] = useState<string | null>(null);
    const failed = (fault: unknown) => {
        setSent(null);
        setTrouble(sentence(fault));
    };
    const choose = (chosen: File | null) => {
        setFile(chosen);
        setPreview(null);
        setTrouble(null);
        if (chosen === null) return;
        sendBytes<Preview>("record/import/preview", chosen.slice(0, looked_at))
            .then((next) => {
                setPreview(next);
                setMapping(next.mapping);
            })
            .catch(failed);
    };
    const take = () => {
        if (file === null) return;
        setSent(0);
        setTrouble(null);
        takeIn(file, mapping, setSent)
            .then(() => {
                setSent(null);
                setFile(null);
                setPreview(null);
                onBegun();
            })
            .catch(failed);
    };
    return (
        <section class="plain" aria-labelledby="import">
            <h2 id="import">Bring a log in</h2>
            <p>What another meter kept, as delimited text or JSON lines, plain or packed. It is looked at first; nothing is changed by that.</p>
            <label class="field">
                <span>The log</span>
                <input type="file" accept=".csv,.txt,.tsv,.log,.json,.jsonl,.gz,.zst" onChange={(event) => choose(event.currentTarget.files?.[0] ?? null)} />
            </label>
            <Trouble text={trouble} />
            {file && preview && (
                <>
                    <Shown preview={preview} />
                    <details>
                        <summary>How it is read</summary>
                        <label class="text-field">
                            <span>Correct it where it is wrong</span>
                            <textarea rows={14} spellcheck={false} value={mapping} onInput={(event) => setMapping(event.currentTarget.value)} />
                        </label>
                    </details>
                    <p class="acts">
                        <button type="button" class="act main" disabled={busy || sent !== null} onClick={take}>
                            take all of it in ({bytes(file.size)})
                        </button>
                        <button type="button" class="act" onClick={() => choose(null)}>
                            leave it
                        </button>
                    </p>
                </>
            )}
            {sent !== null && (
                <p class="working">
                    <label>
                        Sending it <progress max={1} value={sent} />
                    </label>
                </p>
            )}
        </section>
    );
}
