// Tells a screen reader what has changed, seldom: the state of things, not each sample.
import { useEffect, useRef, useState } from "preact/hooks";
import type { Now, Present } from "./api/shape";
import { direction, flow } from "./words/flow";
import { lasting } from "./words/outlook";
import { bandPoints, points } from "./words/number";

const pause_ms = 30_000;

function change(now: Present, old: boolean): string {
    if (old) return "old";
    return `${Math.round(now.state_of_charge.mean * 20)} ${direction(now.current_a ?? 0)}`;
}

function sentence(now: Present, old: boolean): string {
    if (old) return "What is shown is old: no new figures are coming.";
    const saying = lasting(now);
    return (
        `${points(now.state_of_charge.mean)} percent left, give or take ${bandPoints(now.state_of_charge.sd)}. ` +
        `${flow(now.current_a ?? 0)}. ${saying.lead} ${saying.figure}.`
    );
}

export function Announcer({ now, old }: { now: Now | null; old: boolean }) {
    const [text, setText] = useState("");
    const last = useRef({ change: "", at: -pause_ms });

    useEffect(() => {
        if (now === null || !now.measured) return;
        const next = change(now, old);
        const time = performance.now();
        if (next === last.current.change || (time - last.current.at < pause_ms && !old)) return;
        last.current = { change: next, at: time };
        setText(sentence(now, old));
    }, [now, old]);

    return (
        <p class="unseen" role="status">
            {text}
        </p>
    );
}
