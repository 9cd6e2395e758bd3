// The page as a whole: what is left, the last day, and why.
import { useEffect, useState } from "preact/hooks";
import { useLive } from "./api/live";
import type { Now } from "./api/shape";
import { Day } from "./day/day";
import { Announcer } from "./announcer";
import { Head } from "./head";
import { Left } from "./level/left";
import { Why } from "./why/why";
import { points } from "./words/number";

export function Page() {
    const live = useLive();
    const [held, setHeld] = useState<Now | null>(null);
    const now = held ?? live.now;
    const old = live.oldFor > 0;

    useEffect(() => {
        if (now) document.title = `${points(now.state_of_charge.mean)} % · ${now.system.name}`;
    }, [now]);

    return (
        <div class={old ? "page old" : "page"}>
            <Head
                now={now}
                oldFor={live.oldFor}
                held={held !== null}
                onHold={() => setHeld(held === null ? live.now : null)}
            />
            <main>
                <Left now={now} />
                <Day now={now} />
                <Why now={now} />
            </main>
            <Announcer now={live.now} old={old} />
        </div>
    );
}
