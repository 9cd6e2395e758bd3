// What differs between two texts, line by line: the longest common subsequence, after what begins and ends the same.

export interface Changed {
    kind: "same" | "gone" | "new";
    text: string;
    /** Line number in the new text; in the old one for a line that is gone. */
    line: number;
}

const longest = 3000; // lines in the changed middle; beyond, all of it counts as replaced

export function difference(before: string, after: string): Changed[] {
    const a = before.split("\n");
    const b = after.split("\n");
    let head = 0;
    while (head < a.length && head < b.length && a[head] === b[head]) ++head;
    let tail = 0;
    while (tail < a.length - head && tail < b.length - head && a[a.length - 1 - tail] === b[b.length - 1 - tail]) ++tail;
    const same = (from: number, to: number): Changed[] =>
        b.slice(from, to).map((text, i) => ({ kind: "same", text, line: from + i + 1 }));
    return [
        ...same(0, head),
        ...middle(a.slice(head, a.length - tail), b.slice(head, b.length - tail), head),
        ...same(b.length - tail, b.length),
    ];
}

function middle(a: string[], b: string[], offset: number): Changed[] {
    const gone = (i: number): Changed => ({ kind: "gone", text: a[i] ?? "", line: offset + i + 1 });
    const fresh = (j: number): Changed => ({ kind: "new", text: b[j] ?? "", line: offset + j + 1 });
    if (a.length * b.length > longest * longest) return [...a.map((_, i) => gone(i)), ...b.map((_, j) => fresh(j))];
    const width = b.length + 1;
    const common = new Uint16Array((a.length + 1) * width);
    for (let i = a.length - 1; i >= 0; --i)
        for (let j = b.length - 1; j >= 0; --j)
            common[i * width + j] =
                a[i] === b[j] ?
                    (common[(i + 1) * width + j + 1] ?? 0) + 1
                :   Math.max(common[(i + 1) * width + j] ?? 0, common[i * width + j + 1] ?? 0);
    const changes: Changed[] = [];
    let i = 0;
    let j = 0;
    while (i < a.length || j < b.length) {
        if (i < a.length && j < b.length && a[i] === b[j]) {
            changes.push({ kind: "same", text: b[j] ?? "", line: offset + j + 1 });
            ++i;
            ++j;
        } else if (j >= b.length || (i < a.length && (common[(i + 1) * width + j] ?? 0) >= (common[i * width + j + 1] ?? 0))) {
            changes.push(gone(i++));
        } else {
            changes.push(fresh(j++));
        }
    }
    return changes;
}

/** Only what changed, with a few lines about it; a null stands for lines that are left out. */
export function inShort(changes: Changed[], about = 2): (Changed | null)[] {
    const near = changes.map((_, i) => changes.slice(Math.max(0, i - about), i + about + 1).some((one) => one.kind !== "same"));
    const short: (Changed | null)[] = [];
    changes.forEach((change, i) => {
        if (near[i]) short.push(change);
        else if (short[short.length - 1] !== null) short.push(null);
    });
    return short;
}
