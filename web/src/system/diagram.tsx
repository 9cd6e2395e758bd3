// How it is wired, as a drawing.
import { useState } from "preact/hooks";
import type { ViewProps } from "../views";

const variants = [
    { word: "meter-only", name: "with the meter only" },
    { word: "cut-off", name: "with a relay that cuts the loads" },
    { word: "separate-buses", name: "with apart buses for loads and chargers" },
];

export function Diagram(_: ViewProps) {
    const [variant, setVariant] = useState("meter-only");
    const [failed, setFailed] = useState(false);
    const path = `/api/v1/diagram.svg?variant=${variant}`;
    return (
        <section class="plain" aria-labelledby="diagram">
            <h2 id="diagram">How it is wired</h2>
            <label class="field">
                <span>Drawn</span>
                <select value={variant} onChange={(event) => (setFailed(false), setVariant(event.currentTarget.value))}>
                    {variants.map((one) => (
                        <option key={one.word} value={one.word}>
                            {one.name}
                        </option>
                    ))}
                </select>
            </label>
            {failed ?
                <p class="trouble" role="alert">
                    The diagram cannot be drawn. The description may have a mistake: <a href="#/system?part=description">look at it</a>.
                </p>
            :   <div class="scroll drawing" tabIndex={0} role="region" aria-label="The diagram; it can be moved">
                    <img
                        src={path}
                        alt="The wiring diagram of the system: battery, main fuse, shunt, and each circuit with its fuse and cable. The same is said in words in the description and in the findings."
                        onError={() => setFailed(true)}
                    />
                </div>
            }
            <p>
                <a href={path} target="_blank" rel="noopener">
                    The drawing by itself
                </a>
                , to print or to enlarge. It is a plan, not a certificate: local codes and licensed practice win.
            </p>
        </section>
    );
}
