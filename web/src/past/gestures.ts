// Fingers, mouse and wheel on a chart: one finger that moves along reads it or drags it, two stretch it, the wheel
// stretches it where the pointer is.
import type { Plot, Window } from "./plot";

interface Held {
    window?: Window | undefined;
    /** Gives back what it made of the wish. */
    onWindow?: ((window: Window) => Window) | undefined;
}

const still_px = 6; // a finger that moves less than this reads

/** Follows what happens on the chart until the function that is returned is called. */
export function follow(plot: Plot, held: () => Held): () => void {
    const place = plot.place;
    const fingers = new Map<number, number>(); // where each is, across
    let dragged = false;
    let began = 0;

    // Several moves may come between two frames: what was wished for last is gone on from.
    let wished: Window | undefined;
    const wish = (window: Window) => (wished = held().onWindow?.(window));
    const now = () => wished ?? held().window;

    /** The moment under `from` comes to lie under `to`, and time runs `factor` times as fast along the chart. */
    const bring = (from: number, to: number, factor: number) => {
        const window = now();
        if (!window) return;
        const { left, width } = plot.box;
        const length = window.to - window.from;
        const at = window.from + ((from - left) / width) * length;
        const start = at - ((to - left) / width) * length * factor;
        wish({ from: start, to: start + length * factor });
    };
    const spread = () => {
        const [a = 0, b = 0] = [...fingers.values()];
        return { apart: Math.max(20, Math.abs(a - b)), middle: (a + b) / 2 };
    };

    const down = (event: PointerEvent) => {
        if (event.pointerType === "mouse" && event.button !== 0) return;
        fingers.set(event.pointerId, event.clientX);
        if (fingers.size === 1) {
            dragged = false;
            began = event.clientX;
            wished = undefined;
        }
        if (held().onWindow) place.setPointerCapture(event.pointerId);
        if (event.pointerType !== "mouse") plot.pointAt(event.clientX);
    };
    const move = (event: PointerEvent) => {
        const was = fingers.get(event.pointerId);
        if (was === undefined) return;
        if (!held().onWindow) {
            if (event.pointerType !== "mouse") plot.pointAt(event.clientX);
            return;
        }
        if (fingers.size === 2) {
            const before = spread();
            fingers.set(event.pointerId, event.clientX);
            const after = spread();
            dragged = true;
            bring(before.middle, after.middle, before.apart / after.apart);
            return;
        }
        if (!dragged && Math.abs(event.clientX - began) < still_px) return;
        dragged = true;
        fingers.set(event.pointerId, event.clientX);
        bring(was, event.clientX, 1);
    };
    const up = (event: PointerEvent) => {
        if (!fingers.delete(event.pointerId)) return;
        if (!dragged && event.pointerType !== "mouse") plot.pointAt(event.clientX);
    };
    const wheel = (event: WheelEvent) => {
        if (!held().onWindow) return;
        event.preventDefault();
        const x = event.clientX;
        wished = undefined;
        if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) bring(x + event.deltaX, x, 1);
        else bring(x, x, Math.exp(Math.max(-100, Math.min(100, event.deltaY)) * 0.003));
    };

    place.addEventListener("pointerdown", down);
    place.addEventListener("pointermove", move);
    place.addEventListener("pointerup", up);
    place.addEventListener("pointercancel", up);
    place.addEventListener("wheel", wheel, { passive: false });
    return () => {
        place.removeEventListener("pointerdown", down);
        place.removeEventListener("pointermove", move);
        place.removeEventListener("pointerup", up);
        place.removeEventListener("pointercancel", up);
        place.removeEventListener("wheel", wheel);
    };
}
