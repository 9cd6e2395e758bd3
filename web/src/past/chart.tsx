// The chart as part of a view: read with keys or a finger; moved and stretched where the view lets it.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Span } from "../api/shape";
import { follow } from "./gestures";
import type { Over, Plot, Window } from "./plot";
import { reading } from "./summary";

interface Props {
    span: Span;
    reserve: number;
    name: string;
    over?: Over | null;
    /** The time that is shown; without it all of the span. */
    window?: Window;
    /** Called with the time that shall be shown; without it the chart stands still. */
    onWindow?: (window: Window) => Window;
}

export function Chart({ span, reserve, name, over = null, window, onWindow }: Props) {
    const place = useRef<HTMLDivElement>(null);
    const plot = useRef<Plot | null>(null);
    const newest = useRef({ span, over, window, onWindow });
    const [chosen, setChosen] = useState<number | null>(null); // a moment: it stays when the pieces move on
    newest.current = { span, over, window, onWindow };

    const last = span.state_of_charge.length - 1;
    const found = chosen === null ? -1 : pieceAt(span, chosen);
    const index = found < 0 ? null : found;
    const words = useMemo(() => reading(span, index ?? last), [span, index]);
    const choose = (i: number | null) => setChosen(i === null ? null : middleOf(newest.current.span, i));

    useEffect(() => {
        let gone = false;
        let letGo = () => {};
        void import("./plot").then(({ Plot }) => {
            if (gone || !place.current) return;
            const made = new Plot(place.current, newest.current.span, reserve, choose);
            plot.current = made;
            made.show(newest.current.span, newest.current.over, newest.current.window);
            letGo = follow(made, () => newest.current);
        });
        return () => {
            gone = true;
            letGo();
            plot.current?.destroy();
            plot.current = null;
        };
    }, [reserve]);
    useEffect(() => {
        plot.current?.show(span, over, window ?? { from: span.from, to: span.to });
        if (index !== null) plot.current?.point(index);
    }, [span, over]);
    useEffect(() => {
        if (window) plot.current?.move(window);
    }, [window?.from, window?.to]);

    const move = (event: KeyboardEvent) => {
        if (window && onWindow && steer(event, window, onWindow)) {
            event.preventDefault();
            return;
        }
        const step = { ArrowLeft: -1, ArrowRight: 1, PageUp: -12, PageDown: 12, Home: -last, End: last }[event.key];
        if (step === undefined) return;
        event.preventDefault();
        const next = Math.min(last, Math.max(0, (index ?? last) + step));
        choose(next);
        plot.current?.point(next);
    };
    const hint =
        onWindow ?
            "Touch it or use the arrow keys to read it; drag, pinch, + and − to move it."
        :   "Touch the chart, or use the arrow keys, to read it.";
    return (
        <>
            <div
                class={onWindow ? "plot movable" : "plot"}
                ref={place}
                tabIndex={0}
                role="slider"
                aria-label={`${name}, moment by moment`}
                aria-valuemin={0}
                aria-valuemax={Math.max(0, last)}
                aria-valuenow={index ?? Math.max(0, last)}
                aria-valuetext={words || "nothing measured"}
                aria-keyshortcuts={onWindow ? "+ - Shift+ArrowLeft Shift+ArrowRight" : undefined}
                onKeyDown={move}
            />
            <p class="reading">{index === null ? hint : words}</p>
        </>
    );
}

function middleOf(span: Span, i: number): number | null {
    const from = span.edges[i];
    const to = span.edges[i + 1];
    return from === undefined || to === undefined ? null : (from + to) / 2;
}

function pieceAt(span: Span, at: number): number {
    const next = span.edges.findIndex((edge) => edge > at);
    return next - 1;
}

/** Keys that move the time shown: + and - about its middle, arrows with Shift by a quarter. */
function steer(event: KeyboardEvent, window: Window, onWindow: (window: Window) => Window): boolean {
    const length = window.to - window.from;
    const middle = (window.from + window.to) / 2;
    const about = (factor: number) => onWindow({ from: middle - (length * factor) / 2, to: middle + (length * factor) / 2 });
    const by = (share: number) => onWindow({ from: window.from + share * length, to: window.to + share * length });
    if (event.key === "+" || event.key === "=") about(0.5);
    else if (event.key === "-" || event.key === "_") about(2);
    else if (event.shiftKey && event.key === "ArrowLeft") by(-0.25);
    else if (event.shiftKey && event.key === "ArrowRight") by(0.25);
    else return false;
    return true;
}
