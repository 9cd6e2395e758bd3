// The last day: a chart, the same in a sentence, and the same as a table.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { ask } from "../api/ask";
import { useAnswer } from "../api/use_answer";
import type { Bars, Present, Span } from "../api/shape";
import { BarsTable } from "../past/bars_table";
import { Chart } from "../past/chart";
import { summary } from "../past/summary";

const day = 24 * 3600;
const piece = 300;
const pause_ms = 4000; // between two questions, however fast the van's clock runs

/** The day up to now, asked for again whenever another piece of it has passed. */
function useLastDay(now: Present): { span: Span | null; failed: boolean } {
    const [span, setSpan] = useState<Span | null>(null);
    const [failed, setFailed] = useState(false);
    const asked = useRef(-pause_ms);
    const until = Math.ceil(now.at / piece) * piece;

    useEffect(() => {
        const stop = new AbortController();
        const wait = Math.max(0, asked.current + pause_ms - performance.now());
        const timer = setTimeout(() => {
            asked.current = performance.now();
            ask<Span>(`span?from=${until - day}&to=${until}&points=${day / piece}`, stop.signal)
                .then((next) => {
                    setSpan(next);
                    setFailed(false);
                })
                .catch(() => setFailed(!stop.signal.aborted));
        }, wait);
        return () => clearTimeout(timer);
    }, [until]);

    return { span, failed };
}

/** The hours of the day; asked for only when they are looked at. */
function Hours({ until }: { until: number }) {
    const [open, setOpen] = useState(false);
    const to = Math.ceil(until / 3600) * 3600;
    const { value } = useAnswer<Bars>(open ? `bars?by=hour&from=${to - day}&to=${to}` : null);
    return (
        <details onToggle={(event) => setOpen(event.currentTarget.open)}>
            <summary>The same as a table</summary>
            {value ? <BarsTable bars={value} /> : <p>Asking for it …</p>}
        </details>
    );
}

export function Day({ now }: { now: Present }) {
    const { span, failed } = useLastDay(now);
    const words = useMemo(() => (span ? summary(span) : ""), [span]);
    return (
        <section class="day" aria-labelledby="day">
            <h2 id="day">The last day</h2>
            <p class="summary">{span ? words : failed ? "The past could not be fetched; trying again." : "Asking for the past …"}</p>
            {span ?
                <Chart span={span} reserve={now.system.reserve} name="The last day" />
            :   <div class="plot" />}
            <p class="legend">
                <span class="key strokes">a stroke for each two percent, as bold as it was likely to be there</span>
                <span class="key hindsight">as it is known now</span>
                <span class="key in">in</span>
                <span class="key out">out</span>
            </p>
            <Hours until={now.at} />
        </section>
    );
}
