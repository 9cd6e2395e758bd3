// How the page looks: as the device wants it, light, dark, or for a van in which someone sleeps.

export const looks = ["device", "light", "dark", "night"] as const;
export type Look = (typeof looks)[number];

const place = "look";

export function chosenLook(): Look {
    try {
        const kept = localStorage.getItem(place);
        return looks.find((look) => look === kept) ?? "device";
    } catch {
        return "device"; // a browser that keeps nothing
    }
}

/** Tells whoever draws with colours of its own by the event "look". */
export function wear(look: Look): void {
    document.documentElement.dataset.look = look;
    try {
        localStorage.setItem(place, look);
    } catch {
        // it holds until the page is closed
    }
    dispatchEvent(new Event("look"));
}
