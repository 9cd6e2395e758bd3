import type { Series } from "./shape";

/** The past from `from` to `to` (Unix seconds) in that many pieces. */
export async function fetchSeries(from: number, to: number, buckets: number, signal?: AbortSignal): Promise<Series> {
    const response = await fetch(`/api/v1/series?from=${from}&to=${to}&buckets=${buckets}`, {
        signal: signal ?? null,
        credentials: "same-origin",
    });
    if (!response.ok) throw new Error(`the server answered ${response.status}`);
    return (await response.json()) as Series;
}
