/** Whether the browser keeps what the page writes down: promised, not promised, or certainly not. */

/** private: the window is private, so that all of it goes when the window is closed. */
export type Lasting = "promised" | "not promised" | "private";

/** Some browsers ask the person, who need not answer. */
const ANSWER_MS = 15_000;

/** How a private window of Firefox and of Safari refuses a folder of files; Chromium's tells nothing. */
const REFUSALS = new Set(["SecurityError", "UnknownError"]);

/** How lasting it is now. Never rejects. */
export async function readLasting(): Promise<Lasting> {
  if (await isPrivate()) return "private";
  const isPromised = (await navigator.storage?.persisted?.().catch(() => false)) ?? false;
  return isPromised ? "promised" : "not promised";
}

/** Asks the browser to promise it, and waits for a person's answer for a while. Never rejects. */
export async function askToLast(): Promise<void> {
  const late = new Promise<void>((resolve) => setTimeout(resolve, ANSWER_MS));
  await Promise.race([late, navigator.storage?.persist?.().catch(() => false)]);
}

async function isPrivate(): Promise<boolean> {
  try {
    await navigator.storage?.getDirectory?.();
    return false;
  } catch (error) {
    return error instanceof DOMException && REFUSALS.has(error.name);
  }
}
