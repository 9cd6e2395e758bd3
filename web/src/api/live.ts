// The present as it comes: one stream of events while the page is seen, none while it is hidden.
import { useEffect, useState } from "preact/hooks";
import type { Now } from "./shape";

export interface Live {
    now: Now | null;
    /** How many seconds what is shown has been older than it should be; 0 when it is not old. */
    oldFor: number;
}

/** Slack before silence counts as age: a radio link that breathes is not worth a warning. */
const patience_s = 10;

/** Follows the server's events and says when they stop coming. */
export function useLive(): Live {
    const [now, setNow] = useState<Now | null>(null);
    const [oldFor, setOldFor] = useState(0);

    useEffect(() => {
        let stream: EventSource | null = null;
        let heard = performance.now();
        let age = 0;
        let freshFor = 0;

        const take = (text: string) => {
            const next = JSON.parse(text) as Now;
            heard = performance.now();
            age = next.age_s;
            freshFor = next.fresh_for_s + patience_s;
            setNow(next);
            setOldFor(age > freshFor ? age : 0);
        };
        const open = () => {
            stream?.close();
            stream = new EventSource("/api/v1/events");
            stream.addEventListener("now", (event) => take((event as MessageEvent<string>).data));
            // A browser that gives up (the server was away and answered with an error) is told to try again.
            stream.addEventListener("error", () => {
                if (stream?.readyState === EventSource.CLOSED) setTimeout(open, 3000);
            });
        };
        const seen = () => {
            if (document.visibilityState === "visible") open();
            else stream?.close();
        };
        const watch = setInterval(() => {
            const total = age + (performance.now() - heard) / 1000;
            setOldFor(total > freshFor && freshFor > 0 ? total : 0);
        }, 1000);

        fetch("/api/v1/now", { credentials: "same-origin" })
            .then((response) => (response.ok ? response.text() : Promise.reject(new Error(response.statusText))))
            .then(take)
            .catch(() => undefined); // the stream will bring it
        document.addEventListener("visibilitychange", seen);
        seen();
        return () => {
            stream?.close();
            clearInterval(watch);
            document.removeEventListener("visibilitychange", seen);
        };
    }, []);

    return { now, oldFor };
}
