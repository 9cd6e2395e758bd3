// Looking back: any time from an hour to all there is; as it was lived and as it is known by now; by days, weeks and
// months; and one time laid over another.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { useAnswer } from "../api/use_answer";
import type { Bars, Span, Unit } from "../api/shape";
import { sentence } from "../api/ask";
import { Trouble } from "../parts/trouble";
import { Why } from "../parts/why";
import { keep } from "../route";
import type { ViewProps } from "../views";
import { stretch } from "../words/clock";
import { BarChart, barsSummary } from "./bars";
import { BarsTable } from "./bars_table";
import { Chart } from "./chart";
import { around, covers, fetchSpan } from "./fetch_span";
import type { Over, Window } from "./plot";
import { summary } from "./summary";
import { clamp, lengths, shortest, yearBefore } from "./time";

const pause_ms = 120; // of the finger, before the exact figures are asked for

/** The window as the address has it; else the last week. */
function windowOf(query: URLSearchParams, newest: number): Window {
    const from = Number(query.get("from"));
    const to = Number(query.get("to"));
    return from > 0 && to - from >= shortest ? { from, to } : { from: newest - 7 * 86400, to: newest };
}

/** What is drawn, with more on either side. One question at a time: a finger is faster than the answers, and goes on
 * with what is held until the next one has come. */
function useHeld(window: Window, newest: number, points: number) {
    const [span, setSpan] = useState<Span | null>(null);
    const [trouble, setTrouble] = useState<string | null>(null);
    const [round, setRound] = useState(0);
    const askedFor = useRef<Window | null>(null);
    const waits = useRef(false);
    const stop = useMemo(() => new AbortController(), []);
    useEffect(() => () => stop.abort(), []);
    useEffect(() => {
        if (waits.current || askedFor.current === window || covers(span, window)) return;
        waits.current = true;
        askedFor.current = window;
        const asked = around(window);
        const spread = Math.round((points * (asked.to - asked.from)) / (window.to - window.from));
        const came = (next: Span) => (setSpan(next), setTrouble(null));
        const failed = (fault: unknown) => stop.signal.aborted || setTrouble(sentence(fault));
        void fetchSpan(asked, Math.min(2000, spread), newest, stop.signal)
            .finally(() => (waits.current = false))
            .then(came, failed);
    }, [window, span, trouble, round]);
    const again = () => {
        askedFor.current = null;
        setRound(round + 1);
    };
    return { span, trouble, again };
}

/** The words about exactly what is shown, once the finger rests. */
function useWords(window: Window, newest: number) {
    const [words, setWords] = useState("Asking for it …");
    const [trouble, setTrouble] = useState<string | null>(null);
    const [round, setRound] = useState(0);
    useEffect(() => {
        const stop = new AbortController();
        const came = (span: Span) => (setWords(summary(span)), setTrouble(null));
        const failed = (fault: unknown) => stop.signal.aborted || setTrouble(sentence(fault));
        const timer = setTimeout(() => fetchSpan(window, 60, newest, stop.signal).then(came, failed), pause_ms);
        return () => {
            stop.abort();
            clearTimeout(timer);
        };
    }, [window.from, window.to, round]);
    return { words, trouble, again: () => setRound(round + 1) };
}

function useOver(window: Window | null, before: number | null, newest: number, points: number): Over | null {
    const [over, setOver] = useState<Over | null>(null);
    useEffect(() => {
        if (window === null || before === null) {
            setOver(null);
            return undefined;
        }
        const stop = new AbortController();
        const then = { from: window.from - before, to: window.to - before };
        const timer = setTimeout(() => {
            fetchSpan(then, points, newest, stop.signal).then(
                (span) => setOver({ span, shift: before }),
                () => undefined,
            );
        }, pause_ms);
        return () => {
            stop.abort();
            clearTimeout(timer);
        };
    }, [window?.from, window?.to, before]);
    return over;
}

function unitsFor(window: Window): Unit[] {
    const length = window.to - window.from;
    const all: [Unit, number, number][] = [
        ["hour", 0, 7],
        ["day", 1, 400],
        ["week", 6, 4000],
        ["month", 27, 4000],
    ];
    const fit = all.filter(([, least, most]) => length >= least * 86400 && length <= most * 86400).map(([unit]) => unit);
    return fit.length > 0 ? fit : ["month"];
}

function InAndOut({ window }: { window: Window }) {
    const fit = unitsFor(window);
    const [wanted, setWanted] = useState<Unit>("day");
    const [open, setOpen] = useState(false);
    const by = fit.includes(wanted) ? wanted : (fit[0] as Unit);
    const { value: bars, trouble, again } = useAnswer<Bars>(`bars?by=${by}&from=${Math.round(window.from)}&to=${Math.round(window.to)}`);
    return (
        <section class="in-out" aria-labelledby="in-out">
            <h2 id="in-out">
                In and out <Why figure="in_out" of="in and out" />
            </h2>
            <fieldset class="choice">
                <legend class="unseen">For each</legend>
                {fit.map((unit) => (
                    <label key={unit}>
                        <input type="radio" name="by" checked={unit === by} onChange={() => setWanted(unit)} />
                        <span>by {unit}</span>
                    </label>
                ))}
            </fieldset>
            <Trouble text={trouble} again={again} />
            <p class="summary">{bars ? barsSummary(bars) : "Asking for it …"}</p>
            {bars && <BarChart bars={bars} />}
            {bars && (
                <details onToggle={(event) => setOpen(event.currentTarget.open)}>
                    <summary>The same as a table</summary>
                    {open && <BarsTable bars={bars} />}
                </details>
            )}
        </section>
    );
}

export function LookingBack({ now, query }: ViewProps) {
    const beginning = now?.beginning ?? null;
    const newest = now?.measured ? now.at : null;
    if (now !== null && (beginning === null || newest === null))
        return (
            <section class="plain">
                <h2>Nothing to look back on yet</h2>
                <p>
                    The record begins with the first reading. Readings that another meter kept can be brought in:{" "}
                    <a href="#/record">import a log</a>. Or see what it will look like with the invented van:{" "}
                    <code>amphora demo</code>.
                </p>
            </section>
        );
    if (beginning === null || newest === null || now === null) return <p class="first">Asking for the past …</p>;
    return <Past beginning={beginning} newest={newest} reserve={now.system.reserve} query={query} />;
}

function Past({ beginning, newest: latest, reserve, query }: { beginning: number; newest: number; reserve: number; query: URLSearchParams }) {
    const newest = useRef(latest).current; // what was newest when the reader came: the chart does not run away
    const [window, setWindow] = useState<Window>(() => windowOf(query, newest));
    const [settled, setSettled] = useState(window);
    const [before, setBefore] = useState<number | null>(null);
    const points = useMemo(() => Math.max(120, Math.min(600, Math.round(innerWidth / 2))), []);
    const held = useHeld(window, newest, points);
    const said = useWords(window, newest);
    const over = useOver(settled, before, newest, points);
    const overWords = useMemo(() => over && `Laid over it, ${stretch(over.span.from, over.span.to)}: ${summary(over.span)}`, [over]);
    // What does not change while the time is moved is not gone through sixty times a second.
    const inAndOut = useMemo(() => <InAndOut window={settled} />, [settled]);
    const length = window.to - window.from;

    const go = (next: Window): Window => {
        const within = clamp(next, beginning, newest);
        setWindow(within);
        return within;
    };
    const about = (factor: number) => {
        const middle = (window.from + window.to) / 2;
        go({ from: middle - (length * factor) / 2, to: middle + (length * factor) / 2 });
    };
    const by = (share: number) => go({ from: window.from + share * length, to: window.to + share * length });
    useEffect(() => {
        const timer = setTimeout(() => {
            setSettled(window);
            keep("back", { from: window.from.toFixed(0), to: window.to.toFixed(0) });
        }, 2 * pause_ms);
        return () => clearTimeout(timer);
    }, [window.from, window.to]);

    return (
        <>
            <section class="past" aria-labelledby="past">
                <h2 id="past">
                    How much was left <Why figure="hindsight" of="the past drawn twice" />
                </h2>
                <p class="stretch">{stretch(window.from, window.to)}</p>
                <fieldset class="choice">
                    <legend class="unseen">How long a time</legend>
                    {lengths(newest - beginning).map(({ name, seconds }) => (
                        <label key={name}>
                            <input
                                type="radio"
                                name="length"
                                checked={Math.abs(length / seconds - 1) < 0.05}
                                onChange={() => go({ from: window.to - seconds, to: window.to })}
                                onClick={() => go({ from: window.to - seconds, to: window.to })}
                            />
                            <span>{name}</span>
                        </label>
                    ))}
                </fieldset>
                <Trouble text={held.trouble ?? said.trouble} again={() => (held.again(), said.again())} />
                {held.span ?
                    <Chart span={held.span} reserve={reserve} name="How much was left" over={over} window={window} onWindow={go} />
                :   <div class="plot" />}
                <div class="steer" role="group" aria-label="Move the time shown">
                    <button type="button" onClick={() => by(-0.5)}>
                        earlier
                    </button>
                    <button type="button" onClick={() => about(0.5)}>
                        closer
                    </button>
                    <button type="button" onClick={() => about(2)}>
                        farther
                    </button>
                    <button type="button" onClick={() => by(0.5)}>
                        later
                    </button>
                </div>
                <p class="summary">{said.words}</p>
                <p class="legend">
                    <span class="key strokes">a stroke for each two percent, as bold as it was likely to be there</span>
                    <span class="key hindsight">as it is known by now</span>
                    <span class="key in">in</span>
                    <span class="key out">out</span>
                    {over && <span class="key over">the other time, and its band</span>}
                </p>
                <label class="field">
                    <span>Lay over it</span>
                    <select
                        value={before === null ? "" : before === yearBefore ? "year" : "before"}
                        onChange={(event) => {
                            const choice = event.currentTarget.value;
                            setBefore(choice === "" ? null : choice === "year" ? yearBefore : length);
                        }}
                    >
                        <option value="">nothing</option>
                        <option value="before">the same length before it</option>
                        <option value="year">the same days a year before</option>
                    </select>
                </label>
                {overWords && <p class="summary">{overWords}</p>}
            </section>
            {inAndOut}
        </>
    );
}
