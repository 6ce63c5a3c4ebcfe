/** What the page asks of its server. A server that is away is no error: the answer is null. */
import type { BuildStarted, NewBuild, Refusal, RefusalDetail } from "../wire.gen.ts";
import type { KeptPhoto } from "./database.ts";
import type { Reply, SyncBody } from "./sync.ts";

const PATIENCE_MS = 30_000;
const PHOTO_PATIENCE_MS = 120_000;

export function askSync(body: SyncBody, device: string): Promise<Reply> {
  return post("/sync", body, device) as Promise<Reply>;
}

export function askForBuild(
  build: NewBuild,
  device: string,
): Promise<{ readonly answer: BuildStarted } | { readonly problem: RefusalDetail } | null> {
  return post("/builds", build, device) as Promise<{ answer: BuildStarted } | { problem: RefusalDetail } | null>;
}

/** "taken" when the server has the photo on its disk, else what it says against it; null when it cannot be reached. */
export async function givePhoto(
  photo: KeptPhoto,
  picture: Blob,
  device: string,
): Promise<"taken" | RefusalDetail | null> {
  try {
    const headers = { "Content-Type": photo.type, Device: device };
    const signal = AbortSignal.timeout(PHOTO_PATIENCE_MS);
    const response = await fetch(photoPath(photo.sha256), { method: "PUT", headers, body: picture, signal });
    if (response.ok) return "taken";
    const said: unknown = await response.json();
    return isRefusal(said) ? said.error : null;
  } catch {
    return null;
  }
}

/** A photo that the server has; else why there is none, or null when it cannot be reached. */
export async function askForPhoto(sha256: string, device: string): Promise<Blob | RefusalDetail | null> {
  try {
    const signal = AbortSignal.timeout(PHOTO_PATIENCE_MS);
    const response = await fetch(photoPath(sha256), { headers: { Device: device }, signal });
    if (response.ok) return await response.blob();
    const said: unknown = await response.json();
    return isRefusal(said) ? said.error : null;
  } catch {
    return null;
  }
}

function photoPath(sha256: string): string {
  return `/photos/${encodeURIComponent(sha256)}`;
}

/** The answer, the reason of a refusal, or null: no network, too slow, or something else answers at this address. */
async function post(path: string, body: unknown, device: string): Promise<unknown> {
  try {
    const response = await fetch(path, {
      method: "POST",
      headers: { "Content-Type": "application/json", Device: device },
      body: JSON.stringify(body),
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    const said: unknown = await response.json();
    if (response.ok) return { answer: said };
    return isRefusal(said) ? { problem: said.error } : null;
  } catch {
    return null;
  }
}

/** Whether that is the one shape in which the server refuses. */
export function isRefusal(said: unknown): said is Refusal {
  return typeof said === "object" && said !== null && "error" in said;
}

/**
 * Calls `onNudge` with the server's newest position whenever it moves, and whenever the stream is there again.
 *
 * The browser connects again by itself; where it gives up, after a refusal, this does a minute later.
 */
export function listen(onNudge: (position: number) => void): () => void {
  let source: EventSource | null = null;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const open = () => {
    source = new EventSource("/live");
    source.addEventListener("nudge", ({ data }) => onNudge(Number(data)));
    source.addEventListener("error", () => {
      if (source?.readyState === EventSource.CLOSED) timer = setTimeout(open, 60_000);
    });
  };
  open();
  return () => {
    clearTimeout(timer);
    source?.close();
  };
}
