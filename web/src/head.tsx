// Whose figures these are, from when, and whether they still come.
import type { Now } from "./api/shape";
import { dayAndTime, span } from "./words/clock";

interface Props {
    now: Now | null;
    oldFor: number;
    held: boolean;
    onHold: () => void;
}

function state(now: Now, held: boolean): string {
    if (held) return "Held still; the battery goes on.";
    if (now.demonstration_speed === null) return "As it is now.";
    if (now.demonstration_speed === 1) return "An invented van, in its own time.";
    return `An invented van, ${now.demonstration_speed.toLocaleString()} times as fast as life.`;
}

export function Head({ now, oldFor, held, onHold }: Props) {
    return (
        <header class="head">
            <h1>{now?.system.name ?? "Amphora"}</h1>
            <p class="when">{now ? dayAndTime(now.at) : ""}</p>
            {oldFor > 0 && now ?
                <p class="state is-old">
                    <strong>Old:</strong> nothing new for {span(oldFor)}.
                </p>
            :   <p class="state">{now ? state(now, held) : "Asking for the figures …"}</p>}
            <button type="button" class="hold" aria-pressed={held} disabled={now === null} onClick={onHold}>
                {held ? "go on" : "hold still"}
            </button>
        </header>
    );
}
