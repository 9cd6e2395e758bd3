// What stands here for a device that is not known yet: sign in with the passphrase, or be let in by a code that another
// device showed.
import { useEffect, useRef, useState } from "preact/hooks";
import { send, sentence } from "../api/ask";
import type { Access } from "../api/shape";
import { Foot } from "../foot";
import { Trouble } from "../parts/trouble";

/** What this device could be called, before its owner says. */
function guess(): string {
    return matchMedia("(pointer: coarse)").matches ? "phone" : "computer";
}

function Name({ value, set }: { value: string; set: (name: string) => void }) {
    return (
        <label class="field">
            <span>What this device is called</span>
            <input type="text" required maxLength={30} autoComplete="off" value={value} onInput={(event) => set(event.currentTarget.value)} />
        </label>
    );
}

/** Sends what lets this device in; how it is going, and what was wrong. */
function useEntry(path: string, done: () => void) {
    const [going, setGoing] = useState(false);
    const [trouble, setTrouble] = useState<string | null>(null);
    const enter = (body: object) => {
        setGoing(true);
        setTrouble(null);
        send(path, body)
            .then(done)
            .catch((fault: unknown) => setTrouble(sentence(fault)))
            .finally(() => setGoing(false));
    };
    return { going, trouble, enter };
}

function SignIn({ done }: { done: () => void }) {
    const [name, setName] = useState(guess);
    const [passphrase, setPassphrase] = useState("");
    const [shown, setShown] = useState(false);
    const [viewOnly, setViewOnly] = useState(false);
    const { going, trouble, enter } = useEntry("access/sign-in", done);
    return (
        <form
            onSubmit={(event) => {
                event.preventDefault();
                enter({ passphrase, name: name.trim(), view_only: viewOnly });
            }}
        >
            <label class="field">
                <span>Passphrase</span>
                <input
                    type={shown ? "text" : "password"}
                    required
                    autoComplete="current-password"
                    autoCapitalize="none"
                    spellcheck={false}
                    value={passphrase}
                    onInput={(event) => setPassphrase(event.currentTarget.value)}
                />
                <button type="button" aria-pressed={shown} onClick={() => setShown(!shown)}>
                    show it
                </button>
            </label>
            <Name value={name} set={setName} />
            <label class="tick">
                <input type="checkbox" checked={viewOnly} onChange={(event) => setViewOnly(event.currentTarget.checked)} />
                <span>only to look, and to change nothing from here</span>
            </label>
            <Trouble text={trouble} />
            <p class="acts">
                <button type="submit" class="act main" disabled={going || passphrase === "" || name.trim() === ""}>
                    {going ? "asking …" : "sign in"}
                </button>
            </p>
            <p class="quiet">
                No passphrase at hand? A device that is signed in can show a code for this one: the system, who may come in. On the computer itself{" "}
                <code>amphora devices invite</code> shows one.
            </p>
        </form>
    );
}

function Pairing({ token, done, instead }: { token: string; done: () => void; instead: () => void }) {
    const [name, setName] = useState(guess);
    const { going, trouble, enter } = useEntry("access/pair", done);
    return (
        <form
            onSubmit={(event) => {
                event.preventDefault();
                enter({ token, name: name.trim() });
            }}
        >
            <p>You were shown a code. It lets in this one device, and only once.</p>
            <Name value={name} set={setName} />
            <Trouble text={trouble} />
            <p class="acts">
                <button type="submit" class="act main" disabled={going || name.trim() === ""}>
                    {going ? "asking …" : "let this device in"}
                </button>
                <button type="button" class="act" onClick={instead}>
                    use the passphrase
                </button>
            </p>
        </form>
    );
}

export function Entry({ access, token, done }: { access: Access; token: string | null; done: () => void }) {
    const [byToken, setByToken] = useState(token !== null);
    const title = useRef<HTMLHeadingElement>(null);
    useEffect(() => {
        document.title = "Amphora: sign in";
        // The token is good once: it does not stay in the address, nor in what the browser remembers of it.
        if (token !== null) history.replaceState(null, "", "#/");
        title.current?.focus();
    }, [token]);
    return (
        <div class="page entry">
            <main>
                <h1 ref={title} tabIndex={-1}>
                    Amphora
                </h1>
                <p>What is left in the battery here, for whoever may know.</p>
                {byToken && token !== null ? (
                    <Pairing token={token} done={done} instead={() => setByToken(false)} />
                ) : (
                    <SignIn done={done} />
                )}
                {!access.encrypted && location.protocol === "http:" && (
                    <p class="caution">
                        What goes between this device and the computer is not encrypted: whoever is in the same network and knows how can read it. Use
                        it in a network of your own.
                    </p>
                )}
            </main>
            <Foot />
        </div>
    );
}
