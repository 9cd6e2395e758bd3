// The page for whom it knows, and the entry for whom it does not.
import { useEffect, useState } from "preact/hooks";
import { Page } from "../page";
import { placeOf } from "../route";
import { Entry } from "./entry";
import { AccessContext, useAccess } from "./use_access";

/** The token of a link that another device showed. It stands after the '#', which no browser sends to any server. */
function tokenHere(): string | null {
    const { view, query } = placeOf(location.hash);
    return view === "pair" ? query.get("token") : null;
}

export function Whole() {
    const [access, again] = useAccess();
    const [token, setToken] = useState(tokenHere);
    useEffect(() => {
        const follow = () => tokenHere() !== null && setToken(tokenHere());
        addEventListener("hashchange", follow);
        return () => removeEventListener("hashchange", follow);
    }, []);
    const entered = () => {
        setToken(null);
        again();
    };
    if (access && (access.may === "nothing" || (token !== null && access.asks && !access.own_computer)))
        return <Entry key={token} access={access} token={token} done={entered} />;
    return (
        <AccessContext.Provider value={access}>
            <Page />
        </AccessContext.Provider>
    );
}
