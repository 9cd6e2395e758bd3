// Who may come in: the devices that signed in, how one more is let in, and how one is sent away.
import { useEffect, useState } from "preact/hooks";
import { send, sentence } from "../api/ask";
import { useAnswer } from "../api/use_answer";
import type { Access, Device, Devices as Answer, Invitation } from "../api/shape";
import { Trouble } from "../parts/trouble";
import { dayAndTime, fullDay, span } from "../words/clock";
import { Code } from "./code";
import { useMay } from "./use_access";

const rights = { view: "may look", full: "may change things" } as const;

function One({ device, own, may, gone }: { device: Device; own: boolean; may: boolean; gone: () => void }) {
    const [sure, setSure] = useState(false);
    const [trouble, setTrouble] = useState<string | null>(null);
    const remove = () =>
        void send("access/devices/remove", { id: device.id })
            .then(gone)
            .catch((fault: unknown) => setTrouble(sentence(fault)));
    return (
        <article class="card">
            <h3>
                {device.name} <span class="state-word">{rights[device.role]}{own && ", this device"}</span>
            </h3>
            <p>
                Signed in {fullDay(device.since)}; last seen {dayAndTime(device.seen)}.
            </p>
            <Trouble text={trouble} />
            {may && !own && (
                <p class="acts">
                    <button type="button" class={sure ? "act main" : "act"} onClick={sure ? remove : () => setSure(true)}>
                        {sure ? `yes, send ${device.name} away` : "send it away"}
                        {!sure && <span class="unseen"> ({device.name})</span>}
                    </button>
                    {sure && (
                        <button type="button" class="act" onClick={() => setSure(false)}>
                            keep it
                        </button>
                    )}
                </p>
            )}
        </article>
    );
}

function Invite() {
    const [viewOnly, setViewOnly] = useState(false);
    const [invitation, setInvitation] = useState<Invitation | null>(null);
    const [which, setWhich] = useState(0);
    const [trouble, setTrouble] = useState<string | null>(null);
    useEffect(() => {
        if (invitation === null) return undefined;
        const timer = setTimeout(() => setInvitation(null), invitation.lasts_s * 1000);
        return () => clearTimeout(timer);
    }, [invitation]);
    const show = () =>
        void send<Invitation>("access/invite", { view_only: viewOnly })
            .then((next) => (setInvitation(next), setWhich(0), setTrouble(null)))
            .catch((fault: unknown) => setTrouble(sentence(fault)));
    const link = invitation?.links[which];
    return (
        <section class="plain" aria-labelledby="invite">
            <h2 id="invite">Let one more in</h2>
            <fieldset class="choice">
                <legend>What it may do</legend>
                {[true, false].map((only) => (
                    <label key={String(only)}>
                        <input type="radio" name="rights" checked={viewOnly === only} onChange={() => (setViewOnly(only), setInvitation(null))} />
                        <span>{only ? "look, and nothing more" : "look, and change things"}</span>
                    </label>
                ))}
            </fieldset>
            <Trouble text={trouble} />
            <p class="acts">
                <button type="button" class="act main" onClick={show}>
                    {invitation ? "show another code" : "show a code"}
                </button>
            </p>
            <div role="status">
                {invitation && !link && <p>This computer is in no local network at this moment, so that no other device could reach it.</p>}
                {invitation && link && (
                    <p>
                        Point the other device's camera at it, or open the link there. It lets one device in, within {span(invitation.lasts_s)}.
                    </p>
                )}
            </div>
            {invitation && invitation.links.length > 1 && (
                <label class="field">
                    <span>The network both are in</span>
                    <select value={which} onChange={(event) => setWhich(Number(event.currentTarget.value))}>
                        {invitation.links.map((one, i) => (
                            <option key={one.link} value={i}>
                                {new URL(one.link).host}
                            </option>
                        ))}
                    </select>
                </label>
            )}
            {link && <Code {...link} />}
        </section>
    );
}

function SignOut({ device }: { device: Device }) {
    const [trouble, setTrouble] = useState<string | null>(null);
    const leave = () =>
        void send("access/sign-out", {})
            .then(() => dispatchEvent(new Event("turned-down")))
            .catch((fault: unknown) => setTrouble(sentence(fault)));
    return (
        <section class="plain" aria-labelledby="sign-out">
            <h2 id="sign-out">This device</h2>
            <p>
                It is signed in as {device.name} and {rights[device.role]}.
            </p>
            <Trouble text={trouble} />
            <p class="acts">
                <button type="button" class="act" onClick={leave}>
                    sign out here
                </button>
            </p>
        </section>
    );
}

function List({ access }: { access: Access }) {
    const { value, trouble, again } = useAnswer<Answer>("access/devices", 30);
    const may = access.may === "change";
    return (
        <>
            <section class="plain" aria-labelledby="devices">
                <h2 id="devices">Who may come in</h2>
                <Trouble text={trouble} again={again} />
                {value?.devices.length === 0 && <p>No other device has signed in yet.</p>}
                {value?.devices.map((device) => (
                    <One key={device.id} device={device} own={device.id === access.device?.id} may={may} gone={again} />
                ))}
            </section>
            {may && <Invite />}
            {access.device && <SignOut device={access.device} />}
        </>
    );
}

export function Devices() {
    const access = useMay();
    if (access?.asks) return <List access={access} />;
    return (
        <section class="plain" aria-labelledby="devices">
            <h2 id="devices">Who may come in</h2>
            {access && (
                <p>
                    Nobody is asked: the page is there for this computer alone. For a telephone, serve it with <code class="whole">--lan</code>: it asks for a
                    passphrase once, and then shows a code that lets the telephone in.
                </p>
            )}
        </section>
    );
}
