// The system: what is described, what the check finds, the diagram, putting it to work, sources and guards. One part at
// a time; which one stands in the address.
import type { ComponentType } from "preact";
import { Devices } from "../access/devices";
import type { ViewProps } from "../views";
import { Commissioning } from "./commissioning";
import { Description } from "./description";
import { Diagram } from "./diagram";
import { Findings } from "./findings";
import { Guards } from "./guards";
import { Sources } from "./sources";

interface Part {
    place: string;
    name: string;
    Show: ComponentType<ViewProps>;
}

const parts: Part[] = [
    { place: "sources", name: "where readings come from", Show: Sources },
    { place: "guards", name: "what guards it", Show: Guards },
    { place: "description", name: "what is described", Show: Description },
    { place: "findings", name: "what the check finds", Show: Findings },
    { place: "diagram", name: "how it is wired", Show: Diagram },
    { place: "commissioning", name: "putting it to work", Show: Commissioning },
    { place: "devices", name: "who may come in", Show: Devices },
];

export function TheSystem(props: ViewProps) {
    const wanted = props.query.get("part");
    const part = parts.find((one) => one.place === wanted) ?? (parts[0] as Part);
    return (
        <>
            <nav class="parts" aria-label="Parts of the system">
                <ul>
                    {parts.map((one) => (
                        <li key={one.place}>
                            <a href={`#/system?part=${one.place}`} aria-current={one === part ? "page" : undefined}>
                                {one.name}
                            </a>
                        </li>
                    ))}
                </ul>
            </nav>
            <part.Show {...props} />
        </>
    );
}
