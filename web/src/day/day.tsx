// The last day: a chart, the same in a sentence, and the same as a table.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { fetchSeries } from "../api/series";
import type { Now, Series } from "../api/shape";
import { dayAndTime } from "../words/clock";
import { flow } from "../words/flow";
import { bandPoints, points } from "../words/number";
import type { Plot } from "./plot";
import { summary } from "./summary";
import { Table } from "./table";

const day = 24 * 3600;
const piece = 300;
const pause_ms = 4000; // between two questions, however fast the van's clock runs

/** The series of the day up to now, asked for again whenever another piece of it has passed. */
function useLastDay(now: Now | null): { series: Series | null; failed: boolean } {
    const [series, setSeries] = useState<Series | null>(null);
    const [failed, setFailed] = useState(false);
    const asked = useRef(-pause_ms);
    const until = now ? Math.ceil(now.at / piece) * piece : 0;

    useEffect(() => {
        if (until === 0) return undefined;
        const stop = new AbortController();
        const wait = Math.max(0, asked.current + pause_ms - performance.now());
        const timer = setTimeout(() => {
            asked.current = performance.now();
            fetchSeries(until - day, until, day / piece, stop.signal)
                .then((next) => {
                    setSeries(next);
                    setFailed(false);
                })
                .catch(() => setFailed(!stop.signal.aborted));
        }, wait);
        return () => clearTimeout(timer);
    }, [until]);

    return { series, failed };
}

/** What the chart says at one place, in words. */
function reading(series: Series, index: number): string {
    const at = series.at[index];
    const soc = series.state_of_charge[index] ?? null;
    const current = series.current_a[index] ?? null;
    if (at === undefined) return "";
    if (soc === null) return `${dayAndTime(at)}: not measured`;
    const known = `${dayAndTime(at)}: ${points(soc)}\u00a0%\u00a0±\u00a0${bandPoints(series.state_of_charge_sd[index] ?? 0)}`;
    return current === null ? known : `${known}, ${flow(current)}`;
}

function Chart({ series, reserve }: { series: Series; reserve: number }) {
    const place = useRef<HTMLDivElement>(null);
    const plot = useRef<Plot | null>(null);
    const newest = useRef(series);
    const [chosen, setChosen] = useState<number | null>(null); // a moment: it stays when the pieces move on
    newest.current = series;

    const last = series.at.length - 1;
    const found = chosen === null ? -1 : series.at.indexOf(chosen);
    const index = found < 0 ? null : found;
    const choose = (i: number | null) => setChosen(i === null ? null : (newest.current.at[i] ?? null));

    useEffect(() => {
        let gone = false;
        void import("./plot").then(({ Plot }) => {
            if (gone || !place.current) return;
            plot.current = new Plot(place.current, newest.current, reserve, choose);
        });
        return () => {
            gone = true;
            plot.current?.destroy();
        };
    }, [reserve]);
    useEffect(() => {
        plot.current?.show(series);
        if (index !== null) plot.current?.point(index);
    }, [series]);

    const move = (event: KeyboardEvent) => {
        const step = { ArrowLeft: -1, ArrowRight: 1, PageUp: -12, PageDown: 12, Home: -last, End: last }[event.key];
        if (step === undefined) return;
        event.preventDefault();
        const next = Math.min(last, Math.max(0, (index ?? last) + step));
        choose(next);
        plot.current?.point(next);
    };
    return (
        <>
            <div
                class="plot"
                ref={place}
                tabIndex={0}
                role="slider"
                aria-label="The last day, moment by moment"
                aria-valuemin={0}
                aria-valuemax={last}
                aria-valuenow={index ?? last}
                aria-valuetext={reading(series, index ?? last)}
                onKeyDown={move}
            />
            <p class="reading">{index === null ? "Touch the chart, or use the arrow keys, to read it." : reading(series, index)}</p>
        </>
    );
}

export function Day({ now }: { now: Now | null }) {
    const { series, failed } = useLastDay(now);
    const sentence = useMemo(() => (series ? summary(series) : ""), [series]);
    return (
        <section class="day" aria-labelledby="day">
            <h2 id="day">The last day</h2>
            <p class="summary">{series ? sentence : failed ? "The past could not be fetched; trying again." : "Asking for the past …"}</p>
            {series && now && <Chart series={series} reserve={now.system.reserve} />}
            <p class="legend">
                <span class="key strokes">a stroke for each two percent, as bold as it was likely to be there</span>
                <span class="key hindsight">as it is known now</span>
                <span class="key in">in</span>
                <span class="key out">out</span>
            </p>
            {series && (
                <details>
                    <summary>The same as a table</summary>
                    <Table series={series} />
                </details>
            )}
        </section>
    );
}
