// An answer of the server as a component has it: not yet, refused, or there.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, Refusal, sentence } from "./ask";

export interface Answer<T> {
    value: T | null;
    trouble: string | null;
    again: () => void;
}

const again_after_ms = 5000;

/** Trouble that goes by itself: nobody reached, or too busy just now. */
const passes = (fault: unknown) => fault instanceof Refusal && (fault.status === 0 || fault.status === 503);

/** Asks when the path changes, and again every so many seconds while the page is seen; after trouble that
 * may pass, again by itself. */
export function useAnswer<T>(path: string | null, every_s = 0): Answer<T> {
    const [value, setValue] = useState<T | null>(null);
    const [trouble, setTrouble] = useState<string | null>(null);
    const [round, setRound] = useState(0);
    const again = useCallback(() => setRound((last) => last + 1), []);

    useEffect(() => {
        if (path === null) return undefined;
        const stop = new AbortController();
        let later: ReturnType<typeof setTimeout> | undefined;
        ask<T>(path, stop.signal)
            .then((next) => {
                setValue(next);
                setTrouble(null);
            })
            .catch((fault: unknown) => {
                if (stop.signal.aborted) return;
                setTrouble(sentence(fault));
                if (passes(fault)) later = setTimeout(again, again_after_ms);
            });
        return () => {
            clearTimeout(later);
            stop.abort();
        };
    }, [path, round, again]);
    useEffect(() => {
        if (every_s <= 0) return undefined;
        const timer = setInterval(() => document.visibilityState === "visible" && again(), every_s * 1000);
        return () => clearInterval(timer);
    }, [every_s, again]);
    return { value, trouble, again };
}
