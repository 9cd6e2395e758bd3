// In, out or still, told by shape: a solid head that points into the line, a hollow one that leaves it, two dots.
import type { Direction } from "../../words/flow";

export function Arrow({ direction }: { direction: Direction }) {
    return (
        <svg class="arrow" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
            <path d="M3 21.500H21" class="ground" />
            {direction === "in" && <path d="M12 18L4.500 8H9.500V2H14.500V8H19.500Z" class="solid" />}
            {direction === "out" && <path d="M12 3L19 12H14.500V18H9.500V12H5Z" class="hollow" />}
            {direction === "still" && <path d="M6 12H10M14 12H18" class="ground" />}
        </svg>
    );
}
