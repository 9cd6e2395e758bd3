// What this device may do here, asked once and again whenever the server turns something down for want of it.
import { createContext } from "preact";
import { useCallback, useContext, useEffect, useState } from "preact/hooks";
import { ask } from "../api/ask";
import type { Access } from "../api/shape";

export const AccessContext = createContext<Access | null>(null);

/** Null until it is known. */
export const useMay = () => useContext(AccessContext);

export function useAccess(): [Access | null, () => void] {
    const [access, setAccess] = useState<Access | null>(null);
    const again = useCallback(() => {
        ask<Access>("access")
            .then(setAccess)
            .catch(() => undefined); // a server that cannot be reached is told of elsewhere
    }, []);
    useEffect(() => {
        again();
        addEventListener("turned-down", again);
        return () => removeEventListener("turned-down", again);
    }, [again]);
    return [access, again];
}
