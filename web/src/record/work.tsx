// What the server is doing that takes long, and how it ended.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/ask";
import type { WorkStanding } from "../api/shape";

const each_ms = 500;

const names: Record<string, string> = {
    import: "Taking the log in",
    backup: "Making the copy",
    derive: "Working the past out again",
    replay: "Running the past against the rules",
};

/** Looks at the work while there is any. `watch` is called when some was begun. */
export function useWork(): { work: WorkStanding | null; watch: () => void } {
    const [work, setWork] = useState<WorkStanding | null>(null);
    const [round, setRound] = useState(0);
    useEffect(() => {
        let timer = 0;
        let gone = false;
        const look = () =>
            ask<WorkStanding>("work")
                .then((next) => {
                    if (gone) return;
                    setWork(next);
                    if (next.state === "working") timer = window.setTimeout(() => void look(), each_ms);
                })
                .catch(() => gone || (timer = window.setTimeout(() => void look(), 4 * each_ms)));
        void look();
        return () => {
            gone = true;
            clearTimeout(timer);
        };
    }, [round]);
    return { work, watch: () => setRound((last) => last + 1) };
}

export function WorkShown({ work }: { work: WorkStanding | null }) {
    if (work === null || work.state === "idle") return null;
    if (work.state === "working")
        return (
            <p class="working">
                <label>
                    {names[work.kind] ?? work.kind} <progress max={1} value={work.share} />
                </label>
            </p>
        );
    return (
        <p class={work.well ? "result" : "trouble"} role="status">
            {work.sentence}
        </p>
    );
}
