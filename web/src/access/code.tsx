// A link as a code for a telephone's camera, and in words for everyone else.
import type { Invitation } from "../api/shape";

const quiet = 4; // modules that the standard wants free around it

export function Code({ link, size, path }: Invitation["links"][number]) {
    const all = size + 2 * quiet;
    return (
        <figure class="code">
            <svg viewBox={`${-quiet} ${-quiet} ${all} ${all}`} role="img" aria-label="The link below, as a code for a camera" shape-rendering="crispEdges">
                <rect x={-quiet} y={-quiet} width={all} height={all} />
                <path d={path} />
            </svg>
            <figcaption>
                <code>{link}</code>
            </figcaption>
        </figure>
    );
}
