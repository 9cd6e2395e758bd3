// An answer of the server as a component has it: not yet, refused, or there.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentence } from "./ask";

export interface Answer<T> {
    value: T | null;
    trouble: string | null;
    again: () => void;
}

/** Asks when the path changes, and again every so many seconds while the page is seen. */
export function useAnswer<T>(path: string | null, every_s = 0): Answer<T> {
    const [value, setValue] = useState<T | null>(null);
    const [trouble, setTrouble] = useState<string | null>(null);
    const [round, setRound] = useState(0);
    const again = useCallback(() => setRound((last) => last + 1), []);

    useEffect(() => {
        if (path === null) return undefined;
        const stop = new AbortController();
        ask<T>(path, stop.signal)
            .then((next) => {
                setValue(next);
                setTrouble(null);
            })
            .catch((fault: unknown) => stop.signal.aborted || setTrouble(sentence(fault)));
        return () => stop.abort();
    }, [path, round]);
    useEffect(() => {
        if (every_s <= 0) return undefined;
        const timer = setInterval(() => document.visibilityState === "visible" && again(), every_s * 1000);
        return () => clearInterval(timer);
    }, [every_s, again]);
    return { value, trouble, again };
}
