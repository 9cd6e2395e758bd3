// Questions to the server, and its refusals as sentences.

/** What the server refused, in a sentence that says what to do. */
export class Refusal extends Error {
    constructor(
        message: string,
        readonly status: number,
    ) {
        super(message);
    }
}

async function answer(path: string, request: RequestInit): Promise<Response> {
    let response: Response;
    try {
        response = await fetch(`/api/v1/${path}`, { credentials: "same-origin", ...request });
    } catch (fault) {
        if (request.signal?.aborted) throw fault;
        throw new Refusal("The computer in the van cannot be reached. Is it on, and are you on its network?", 0);
    }
    if (response.ok) return response;
    if (response.status === 401) dispatchEvent(new Event("turned-down")); // whoever shows the page asks what is wrong
    const problem = (await response.json().catch(() => null)) as { detail?: string } | null;
    throw new Refusal(problem?.detail ?? `The server answered ${response.status}.`, response.status);
}

export async function ask<T>(path: string, signal?: AbortSignal): Promise<T> {
    return (await (await answer(path, { signal: signal ?? null })).json()) as T;
}

export async function send<T>(path: string, body: unknown): Promise<T> {
    const headers = { "Content-Type": "application/json" };
    return (await (await answer(path, { method: "POST", headers, body: JSON.stringify(body) })).json()) as T;
}

export async function sendBytes<T>(path: string, body: Blob): Promise<T> {
    const headers = { "Content-Type": "application/octet-stream" };
    return (await (await answer(path, { method: "POST", headers, body })).json()) as T;
}

export function sentence(fault: unknown): string {
    return fault instanceof Error ? fault.message : String(fault);
}
