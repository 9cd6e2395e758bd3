// Where the reader is: the part of the address after '#', so that a view can be kept, sent and gone back to.
import { useEffect, useState } from "preact/hooks";

export interface Place {
    view: string;
    query: URLSearchParams;
}

export function placeOf(hash: string): Place {
    const [view = "", query = ""] = hash.replace(/^#\/?/, "").split("?");
    return { view, query: new URLSearchParams(query) };
}

export function usePlace(): Place {
    const [place, setPlace] = useState(() => placeOf(location.hash));
    useEffect(() => {
        const follow = () => setPlace(placeOf(location.hash));
        addEventListener("hashchange", follow);
        return () => removeEventListener("hashchange", follow);
    }, []);
    return place;
}

/** Says in the address what is looked at, without a step to go back to. */
export function keep(view: string, values: Record<string, string>): void {
    history.replaceState(null, "", `#/${view}?${new URLSearchParams(values).toString()}`);
}
