// What holds for every view: how it looks, and what it is not.
import { useState } from "preact/hooks";
import { chosenLook, looks, wear, type Look } from "./look";

const names: Record<Look, string> = {
    device: "as this device wants it",
    light: "light",
    dark: "dark",
    night: "night, while someone sleeps",
};

export function Foot() {
    const [look, setLook] = useState(chosenLook);
    const choose = (next: Look) => {
        setLook(next);
        wear(next);
    };
    return (
        <footer class="foot">
            <label>
                <span>Look</span>{" "}
                <select value={look} onChange={(event) => choose(event.currentTarget.value as Look)}>
                    {looks.map((one) => (
                        <option key={one} value={one}>
                            {names[one]}
                        </option>
                    ))}
                </select>
            </label>
        </footer>
    );
}
