// "Why?" beside a figure: from which readings, by which rule and formula, after which source.
import { useEffect, useRef, useState } from "preact/hooks";
import { ask, sentence } from "../api/ask";
import type { Reason } from "../api/shape";

export function Why({ figure, of, words = "why?" }: { figure: string; of: string; words?: string }) {
    const sheet = useRef<HTMLDialogElement>(null);
    const [open, setOpen] = useState(false);
    const [reason, setReason] = useState<Reason | null>(null);
    const [trouble, setTrouble] = useState("");

    useEffect(() => {
        if (!open) return;
        setTrouble("");
        ask<Reason>(`why?figure=${figure}`)
            .then(setReason)
            .catch((fault: unknown) => setTrouble(sentence(fault)));
        sheet.current?.showModal();
    }, [open, figure]);

    return (
        <>
            <button type="button" class="why" aria-label={`${words} ${of}`} onClick={() => setOpen(true)}>
                {words}
            </button>
            {open && (
                <dialog
                    ref={sheet}
                    class="sheet"
                    aria-labelledby={`why-${figure}`}
                    onClose={() => setOpen(false)}
                    onClick={(event) => event.target === sheet.current && sheet.current?.close()}
                >
                    <div class="sheet-body">
                        <h2 id={`why-${figure}`}>{reason?.question ?? of}</h2>
                        {trouble && <p class="trouble">{trouble}</p>}
                        {reason && (
                            <>
                                <p>{reason.meaning}</p>
                                <dl class="reason">
                                    <dt>From these readings</dt>
                                    <dd>{reason.readings ?? "None yet."}</dd>
                                    <dt>Reckoned so</dt>
                                    <dd>{reason.formula}</dd>
                                    <dt>By this rule</dt>
                                    <dd>{reason.rule}</dd>
                                    <dt>After</dt>
                                    <dd>{reason.source}</dd>
                                </dl>
                            </>
                        )}
                        <button type="button" class="act" onClick={() => sheet.current?.close()}>
                            close
                        </button>
                    </div>
                </dialog>
            )}
        </>
    );
}
