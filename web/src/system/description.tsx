// The description: read as it is, changed as text, judged while it is changed, and saved only after its difference was
// seen.
import { useEffect, useRef, useState } from "preact/hooks";
import { Refusal, send, sentence } from "../api/ask";
import { useAnswer } from "../api/use_answer";
import type { Description as Answer, Validated } from "../api/shape";
import { Trouble } from "../parts/trouble";
import type { ViewProps } from "../views";
import { difference, inShort } from "./difference";
import { FindingList } from "./findings";

const pause_ms = 500; // after the last key, before it is judged

/** What the server says of a text, a moment after it was changed. */
function useJudgement(text: string, active: boolean): { judged: Validated | null; trouble: string | null } {
    const [judged, setJudged] = useState<Validated | null>(null);
    const [trouble, setTrouble] = useState<string | null>(null);
    useEffect(() => {
        if (!active) return undefined;
        let gone = false;
        setJudged(null);
        const timer = setTimeout(() => {
            send<Validated>("description/validate", { text }).then(
                (next) => gone || (setJudged(next), setTrouble(null)),
                (fault: unknown) => gone || setTrouble(sentence(fault)),
            );
        }, pause_ms);
        return () => {
            gone = true;
            clearTimeout(timer);
        };
    }, [text, active]);
    return { judged, trouble };
}

function Difference({ before, after }: { before: string; after: string }) {
    const lines = inShort(difference(before, after));
    const words = { same: "", gone: "taken out: ", new: "put in: " };
    const signs = { same: " ", gone: "−", new: "+" };
    return (
        <div class="scroll" tabIndex={0} role="region" aria-label="What would change">
            <ol class="difference">
                {lines.map((line, i) =>
                    line === null ?
                        <li key={i} class="left-out" aria-label="lines that stay as they are">
                            …
                        </li>
                    :   <li key={i} class={line.kind}>
                            <span class="number" aria-hidden="true">
                                {line.line}
                            </span>
                            <span aria-hidden="true">{signs[line.kind]}</span>
                            <span class="unseen">{words[line.kind]}</span>
                            <code>{line.text || " "}</code>
                        </li>,
                )}
            </ol>
        </div>
    );
}

function Mistakes({ judged, onShow }: { judged: Validated; onShow: (line: number) => void }) {
    return (
        <ul class="mistakes">
            {judged.mistakes.map((mistake, i) => (
                <li key={i}>
                    <button type="button" class="act" onClick={() => onShow(mistake.line)}>
                        line {mistake.line}
                    </button>{" "}
                    {mistake.path && <code>{mistake.path}</code>} {mistake.message}
                </li>
            ))}
        </ul>
    );
}

function Editor({ answer, onDone, onStale }: { answer: Answer; onDone: (saved: boolean) => void; onStale: () => void }) {
    const [text, setText] = useState(answer.text);
    const [looking, setLooking] = useState(false); // at the difference
    const [trouble, setTrouble] = useState<string | null>(null);
    const [stale, setStale] = useState(false);
    const [saving, setSaving] = useState(false);
    const area = useRef<HTMLTextAreaElement>(null);
    const changed = text !== answer.text;
    const { judged, trouble: unjudged } = useJudgement(text, changed);
    const good = changed && judged?.valid === true;

    const show = (line: number) => {
        const at = text.split("\n").slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
        const end = text.indexOf("\n", at);
        setLooking(false);
        requestAnimationFrame(() => {
            area.current?.focus();
            area.current?.setSelectionRange(at, end < 0 ? text.length : end);
        });
    };
    const save = () => {
        setSaving(true);
        send("description/save", { text, mark: answer.mark })
            .then(() => onDone(true))
            .catch((fault: unknown) => {
                setSaving(false);
                setTrouble(sentence(fault));
                setStale(fault instanceof Refusal && fault.status === 409);
            });
    };
    return (
        <div class="editor">
            {looking ?
                <>
                    <h3>What would change</h3>
                    <Difference before={answer.text} after={text} />
                    <p>The file as it is now is kept beside it, its name ending in “.before”. The past is worked out again by the new description.</p>
                </>
            :   <label class="text-field">
                    <span>{answer.file}</span>
                    <textarea
                        ref={area}
                        value={text}
                        rows={22}
                        spellcheck={false}
                        autocapitalize="off"
                        autocomplete="off"
                        aria-describedby="judgement"
                        onInput={(event) => setText(event.currentTarget.value)}
                    />
                </label>
            }
            <div id="judgement" class="judgement" role="status">
                {!changed && <p>Nothing is changed yet.</p>}
                {changed && judged === null && !unjudged && <p>Looking at it …</p>}
                {changed && judged?.valid === false && (
                    <p>
                        {judged.mistakes.length === 1 ? "One mistake" : `${judged.mistakes.length} mistakes`}: it cannot be saved so.
                    </p>
                )}
                {good && <p>No mistake in it.</p>}
            </div>
            {changed && judged && !judged.valid && <Mistakes judged={judged} onShow={show} />}
            <Trouble text={unjudged ?? trouble} />
            {good && looking && judged?.findings && judged.findings.length > 0 && (
                <details>
                    <summary>What the check would find ({judged.findings.length})</summary>
                    <FindingList findings={judged.findings} />
                </details>
            )}
            <p class="acts">
                {stale ?
                    <button type="button" class="act main" onClick={onStale}>
                        look at it as it is now
                    </button>
                : looking ?
                    <button type="button" class="act main" disabled={!good || saving} onClick={save}>
                        save it
                    </button>
                :   <button type="button" class="act main" disabled={!good} onClick={() => setLooking(true)}>
                        see what changes
                    </button>
                }
                {looking && (
                    <button type="button" class="act" onClick={() => setLooking(false)}>
                        change more
                    </button>
                )}
                <button type="button" class="act" onClick={() => onDone(false)}>
                    leave it as it was
                </button>
            </p>
        </div>
    );
}

export function Description(_: ViewProps) {
    const { value, trouble, again } = useAnswer<Answer>("description");
    const [editing, setEditing] = useState(false);
    const [saved, setSaved] = useState(false);
    return (
        <section class="plain" aria-labelledby="description">
            <h2 id="description">What is described</h2>
            <Trouble text={trouble} again={again} />
            {saved && !editing && <p role="status">Saved. What follows from it is being worked out again.</p>}
            {value && !editing && (
                <>
                    <p class="acts">
                        <button type="button" class="act main" onClick={() => (setEditing(true), setSaved(false))}>
                            change it
                        </button>
                    </p>
                    {!value.valid && (
                        <ul class="mistakes">
                            {value.mistakes.map((mistake, i) => (
                                <li key={i}>
                                    line {mistake.line}: {mistake.message}
                                </li>
                            ))}
                        </ul>
                    )}
                    <pre class="scroll text" tabIndex={0} role="region" aria-label={`The text of ${value.file}`}>
                        {value.text || "There is no description yet: \"change it\" begins one."}
                    </pre>
                    {value.assumed.length > 0 && (
                        <details>
                            <summary>What is taken for granted ({value.assumed.length})</summary>
                            <ul class="assumed">
                                {value.assumed.map((note) => (
                                    <li key={note.path}>
                                        <code>{note.path}</code> = {note.value}: {note.why}
                                    </li>
                                ))}
                            </ul>
                        </details>
                    )}
                </>
            )}
            {value && editing && (
                <Editor
                    key={value.mark}
                    answer={value}
                    onDone={(did) => {
                        setEditing(false);
                        setSaved(did);
                        if (did) again();
                    }}
                    onStale={again}
                />
            )}
        </section>
    );
}
