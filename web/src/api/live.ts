// The present as it comes. One stream of events for all pages that this browser has open, while any of them is seen:
// whoever has it tells the others.
import { useEffect, useState } from "preact/hooks";
import type { Now } from "./shape";

export interface Live {
    now: Now | null;
    /** How many seconds what is shown has been older than it should be; 0 when it is not old. */
    oldFor: number;
    /** No answer has ever come, and why. */
    lost: boolean;
}

/** Slack before silence counts as age: a radio link that breathes is not worth a warning. */
const patience_s = 10;

/** Calls `take` with each text that comes, from the stream or from the page that has it. Returns how to end it. */
function listen(take: (text: string) => void): () => void {
    const others = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("amphora-now");
    let stream: EventSource | null = null;
    let giveUp: (() => void) | null = null;
    let ended = false;

    const open = () => {
        stream?.close();
        stream = new EventSource("/api/v1/stream");
        stream.addEventListener("now", (event) => {
            const text = (event as MessageEvent<string>).data;
            take(text);
            others?.postMessage(text);
        });
        // A browser that gives up (the server was away and answered with an error) is told to try again.
        stream.addEventListener("error", () => {
            if (stream?.readyState !== EventSource.CLOSED) return;
            dispatchEvent(new Event("turned-down")); // it may not be let in any more
            setTimeout(() => stream && !ended && open(), 3000);
        });
    };
    const close = () => {
        stream?.close();
        stream = null;
    };
    // The one page that holds the lock has the stream; when it goes, or is hidden, the next one gets it. Where there are
    // no locks (they want a secure origin) each page has a stream of its own.
    const begin = () => {
        if (giveUp || stream) return;
        if (!navigator.locks) {
            open();
            return;
        }
        const wanted = new AbortController();
        let release = () => wanted.abort();
        giveUp = () => release();
        navigator.locks
            .request("amphora-stream", { signal: wanted.signal }, () => {
                open();
                return new Promise<void>((done) => {
                    release = () => {
                        close();
                        done();
                    };
                });
            })
            .catch(() => undefined);
    };
    const stop = () => {
        giveUp?.();
        giveUp = null;
        close();
    };
    const seen = () => (document.visibilityState === "visible" ? begin() : stop());

    if (others) others.onmessage = (event: MessageEvent<string>) => take(event.data);
    document.addEventListener("visibilitychange", seen);
    seen();
    return () => {
        ended = true;
        document.removeEventListener("visibilitychange", seen);
        stop();
        others?.close();
    };
}

/** Follows what comes and says when it stops coming. */
export function useLive(): Live {
    const [now, setNow] = useState<Now | null>(null);
    const [oldFor, setOldFor] = useState(0);
    const [lost, setLost] = useState(false);

    useEffect(() => {
        let heard = performance.now();
        let age = 0;
        let freshFor = 0;
        const take = (text: string) => {
            const next = JSON.parse(text) as Now;
            heard = performance.now();
            age = next.measured ? next.age_s : 0;
            freshFor = next.measured ? next.fresh_for_s + patience_s : 0;
            setNow(next);
            setLost(false);
            setOldFor(age > freshFor ? age : 0);
        };
        const fetchOnce = () =>
            fetch("/api/v1/now", { credentials: "same-origin" })
                .then((response) => (response.ok ? response.text() : Promise.reject(new Error(response.statusText))))
                .then(take)
                .catch(() => setLost(true)); // the stream will bring it
        // After a sleep the figures are new at once, whoever has the stream.
        const seen = () => document.visibilityState === "visible" && void fetchOnce();
        const watch = setInterval(() => {
            const total = age + (performance.now() - heard) / 1000;
            setOldFor(total > freshFor && freshFor > 0 ? total : 0);
        }, 1000);
        void fetchOnce();
        document.addEventListener("visibilitychange", seen);
        const end = listen(take);
        return () => {
            end();
            clearInterval(watch);
            document.removeEventListener("visibilitychange", seen);
        };
    }, []);

    return { now, oldFor, lost };
}
