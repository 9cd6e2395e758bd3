// The views of the page. Adding one is adding a line here and a folder beside this file.
import type { ComponentType } from "preact";
import type { Live } from "./api/live";
import type { Now } from "./api/shape";

export interface ViewProps {
    /** What is shown: held still, or as it comes. */
    now: Now | null;
    live: Live;
    query: URLSearchParams;
}

export interface View {
    /** In the address, after "#/". */
    place: string;
    /** As a person asks for it; two words, one below the other where there is little room. */
    name: [string, string];
    load: () => Promise<ComponentType<ViewProps>>;
}

export const views: View[] = [
    { place: "", name: ["right", "now"], load: () => import("./now/now").then((m) => m.RightNow) },
    { place: "back", name: ["looking", "back"], load: () => import("./past/past").then((m) => m.LookingBack) },
    { place: "uses", name: ["what", "uses it"], load: () => import("./uses/uses").then((m) => m.WhatUsesIt) },
    { place: "system", name: ["the", "system"], load: () => import("./system/system").then((m) => m.TheSystem) },
    { place: "record", name: ["the", "record"], load: () => import("./record/record").then((m) => m.TheRecord) },
];
