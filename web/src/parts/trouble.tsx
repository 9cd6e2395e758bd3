/** What went wrong and what to do, where it went wrong; room for it is made only then, below what is shown. */
export function Trouble({ text, again }: { text: string | null; again?: () => void }) {
    if (text === null || text === "") return null;
    return (
        <p class="trouble" role="alert">
            {text}{" "}
            {again && (
                <button type="button" class="act" onClick={again}>
                    try again
                </button>
            )}
        </p>
    );
}
