// The page's colours and type, for the canvas, which does not read style sheets.

export interface Palette {
    level: string;
    ink: string;
    quiet: string;
    paper: string;
    into: string;
    out: string;
    font: string;
    /** The reader's letter size in pixels. */
    rem: number;
}

export function palette(element: HTMLElement): Palette {
    const style = getComputedStyle(element);
    const colour = (name: string) => style.getPropertyValue(name).trim();
    return {
        level: colour("--level"),
        ink: colour("--ink"),
        quiet: colour("--quiet"),
        paper: colour("--paper"),
        into: colour("--in"),
        out: colour("--out"),
        font: style.fontFamily,
        rem: parseFloat(getComputedStyle(document.documentElement).fontSize),
    };
}
