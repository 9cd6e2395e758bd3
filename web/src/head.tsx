// Whose figures these are, from when, and whether they still come.
import { useMay } from "./access/use_access";
import type { Live } from "./api/live";
import type { Now, Present } from "./api/shape";
import { dayAndTime, span } from "./words/clock";

interface Props {
    now: Now | null;
    live: Live;
    held: boolean;
    onHold: () => void;
}

function state(now: Present, held: boolean): string {
    if (held) return "Held still; the battery goes on.";
    if (now.demonstration_speed === null) return "As it is now.";
    if (now.demonstration_speed === 1) return "An invented van, in its own time.";
    return `An invented van, ${now.demonstration_speed.toLocaleString()} times as fast as life.`;
}

function State({ now, live, held }: { now: Now | null; live: Live; held: boolean }) {
    if (live.lost && now === null)
        return <p class="state is-old">The computer in the van cannot be reached. Is it on, and are you on its network? Trying again.</p>;
    if (now === null) return <p class="state">Asking for the figures …</p>;
    if (!now.measured) return <p class="state">Nothing has been measured yet.</p>;
    if (live.oldFor > 0)
        return (
            <p class="state is-old">
                <strong>Old:</strong> nothing new for {span(live.oldFor)}.
            </p>
        );
    return <p class="state">{state(now, held)}</p>;
}

export function Head({ now, live, held, onHold }: Props) {
    const looks = useMay()?.may === "look";
    return (
        <header class="head">
            <h1>
                {now?.system.name ?? "Amphora"}
                {looks && <span class="looks"> view only</span>}
            </h1>
            <p class="when">{now?.measured ? dayAndTime(now.at) : ""}</p>
            <State now={now} live={live} held={held} />
            <button type="button" class="hold" aria-pressed={held} disabled={!now?.measured} onClick={onHold}>
                {held ? "go on" : "hold still"}
            </button>
        </header>
    );
}
