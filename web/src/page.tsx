// The page as a whole: whose figures these are, the view that was asked for, and the way to the others.
import type { ComponentType } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { useLive } from "./api/live";
import type { Now } from "./api/shape";
import { Announcer } from "./announcer";
import { Foot } from "./foot";
import { Head } from "./head";
import { usePlace } from "./route";
import { views, type View, type ViewProps } from "./views";
import { points } from "./words/number";

/** The component of a view, once it has come. */
function useView(view: View): ComponentType<ViewProps> | null {
    const [loaded, setLoaded] = useState<{ view: View; Part: ComponentType<ViewProps> } | null>(null);
    useEffect(() => {
        let gone = false;
        void view.load().then((Part) => gone || setLoaded({ view, Part }));
        return () => void (gone = true);
    }, [view]);
    return loaded?.view === view ? loaded.Part : null;
}

function Ways({ current }: { current: View }) {
    return (
        <nav class="ways" aria-label="Views">
            <ul>
                {views.map((view) => (
                    <li key={view.place}>
                        <a href={`#/${view.place}`} aria-current={view === current ? "page" : undefined}>
                            {view.name[0]} <span>{view.name[1]}</span>
                        </a>
                    </li>
                ))}
            </ul>
        </nav>
    );
}

export function Page() {
    const live = useLive();
    const [held, setHeld] = useState<Now | null>(null);
    const { view: place, query } = usePlace();
    const view = views.find((one) => one.place === place) ?? (views[0] as View);
    const Part = useView(view);
    const main = useRef<HTMLElement>(null);
    const shown = useRef(view);
    const now = held ?? live.now;
    const old = live.oldFor > 0;
    const name = view.name.join(" ");

    useEffect(() => {
        if (now) document.title = `${now.measured ? `${points(now.state_of_charge.mean)} % · ` : ""}${now.system.name}`;
    }, [now]);
    // Whoever reads by ear or by key is taken to the view that was asked for.
    useEffect(() => {
        if (shown.current === view) return;
        shown.current = view;
        scrollTo(0, 0);
        main.current?.focus({ preventScroll: true });
    }, [view]);

    return (
        <div class={old ? "page old" : "page"}>
            <a class="skip" href="#main" onClick={(event) => (event.preventDefault(), main.current?.focus())}>
                to the view
            </a>
            <Head now={now} live={live} held={held !== null} onHold={() => setHeld(held === null ? live.now : null)} />
            <Ways current={view} />
            <main ref={main} id="main" tabIndex={-1} aria-label={name} class={`view view-${view.place || "now"}`}>
                {Part ? <Part now={now} live={live} query={query} /> : <p class="first">Asking for it …</p>}
            </main>
            <Foot />
            <Announcer now={live.now} old={old} />
        </div>
    );
}
