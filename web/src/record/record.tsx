// The record: what it holds; bringing a log in, taking readings out, and a copy of all of it.
import { useEffect, useState } from "preact/hooks";
import { send, sentence } from "../api/ask";
import { useAnswer } from "../api/use_answer";
import type { RecordStanding } from "../api/shape";
import { Trouble } from "../parts/trouble";
import type { ViewProps } from "../views";
import { fullDay, span } from "../words/clock";
import { bytes, count } from "../words/number";
import { ImportLog } from "./import_log";
import { useWork, WorkShown } from "./work";

function Standing({ record }: { record: RecordStanding }) {
    if (!record.exists || record.from === null || record.to === null)
        return <p>There is no record yet. It begins with the first reading of a meter, or with a log that is brought in below.</p>;
    return (
        <dl class="facts">
            <div>
                <dt>From, to</dt>
                <dd>
                    {fullDay(record.from)} to {fullDay(record.to)}, {span(record.to - record.from)}
                </dd>
            </div>
            <div>
                <dt>Readings</dt>
                <dd>{count(record.readings)}</dd>
            </div>
            <div>
                <dt>Size</dt>
                <dd>
                    {bytes(record.bytes)}, {(record.bytes / Math.max(1, record.readings)).toLocaleString(undefined, { maximumFractionDigits: 1 })}{" "}
                    bytes a reading
                </dd>
            </div>
            <div>
                <dt>Days begin</dt>
                <dd>at midnight, {record.zone}</dd>
            </div>
        </dl>
    );
}

const day = (at: number) => new Date(at * 1000).toISOString().slice(0, 10);
const begin = (date: string) => Date.parse(`${date}T00:00:00`) / 1000;

function TakeOut({ record }: { record: RecordStanding }) {
    const [from, setFrom] = useState(record.from === null ? "" : day(record.from));
    const [to, setTo] = useState(record.to === null ? "" : day(record.to));
    const [by, setBy] = useState("reading");
    const [format, setFormat] = useState("csv");
    const query = new URLSearchParams({ by, format });
    if (from) query.set("from", String(begin(from)));
    if (to) query.set("to", String(begin(to) + 86400));
    return (
        <section class="plain" aria-labelledby="take-out">
            <h2 id="take-out">Take readings out</h2>
            <p>Plain text, for a spreadsheet or another program; brought in again it is the same readings, bit for bit.</p>
            <div class="fields">
                <label class="field">
                    <span>From</span>
                    <input type="date" value={from} onInput={(event) => setFrom(event.currentTarget.value)} />
                </label>
                <label class="field">
                    <span>To the end of</span>
                    <input type="date" value={to} onInput={(event) => setTo(event.currentTarget.value)} />
                </label>
                <label class="field">
                    <span>A line for each</span>
                    <select value={by} onChange={(event) => setBy(event.currentTarget.value)}>
                        <option value="reading">reading</option>
                        <option value="minute">minute</option>
                        <option value="hour">hour</option>
                        <option value="day">day</option>
                    </select>
                </label>
                <label class="field">
                    <span>As</span>
                    <select value={format} onChange={(event) => setFormat(event.currentTarget.value)}>
                        <option value="csv">CSV</option>
                        <option value="jsonl">JSON lines</option>
                    </select>
                </label>
            </div>
            <p class="acts">
                <a class="act main" href={`/api/v1/record/export?${query.toString()}`} download>
                    take it out
                </a>
            </p>
        </section>
    );
}

function Copy({ record, onBegun }: { record: RecordStanding; onBegun: () => void }) {
    const [trouble, setTrouble] = useState<string | null>(null);
    const make = () =>
        send("record/backup", {})
            .then(onBegun)
            .catch((fault: unknown) => setTrouble(sentence(fault)));
    return (
        <section class="plain" aria-labelledby="copy">
            <h2 id="copy">A copy of all of it</h2>
            <p>One file that is complete in itself, made while the recording goes on. Keep it somewhere that does not move with the battery.</p>
            <Trouble text={trouble} />
            <p class="acts">
                <button type="button" class={record.copy ? "act" : "act main"} onClick={() => void make()}>
                    {record.copy ? "make another" : "make a copy"}
                </button>
                {record.copy && (
                    <a class="act main" href="/api/v1/record/backup" download>
                        fetch it ({bytes(record.copy.bytes)})
                    </a>
                )}
            </p>
        </section>
    );
}

export function TheRecord(_: ViewProps) {
    const { value: record, trouble, again } = useAnswer<RecordStanding>("record", 30);
    const { work, watch } = useWork();
    useEffect(() => {
        if (work?.state === "done") again();
    }, [work?.state]);
    return (
        <>
            <section class="plain" aria-labelledby="held">
                <h2 id="held">What it holds</h2>
                <Trouble text={trouble} again={again} />
                {record && <Standing record={record} />}
                {work?.kind !== "replay" && <WorkShown work={work} />}
            </section>
            <ImportLog onBegun={watch} busy={work?.state === "working"} />
            {record?.exists && <TakeOut record={record} />}
            {record?.exists && <Copy record={record} onBegun={watch} />}
        </>
    );
}
