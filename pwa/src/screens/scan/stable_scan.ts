/** What is steadily in the camera's view: one look may miss a label, or catch one that passes by. */
import type { Seen } from "../../phone/reading.ts";

/** Looks that must agree before a label counts as held up to the camera. */
const AGREE = 2;

/** A label that was taken counts as gone after so long out of view; then it may be taken again. */
const GONE_MS = 1500;

/** A view that nothing is seen in for so short a time is only blurred. */
const BLINK_MS = 400;

/** Decides over several looks of the camera which label a person holds up. */
export class StableScan {
  private texts: readonly string[] = [];
  private agreed = 0;
  private last = 0;
  private readonly takenAt = new Map<string, number>();

  /** One look. The label to take now, when it is the only one in view and was not just taken; else null. */
  look(seen: readonly Seen[], now: number): string | null {
    const texts = [...new Set(seen.map(({ text }) => text))].sort();
    this.forget(texts, now);
    if (texts.length === 0) {
      if (now - this.last > BLINK_MS) this.agreed = 0;
      return null;
    }
    this.last = now;
    this.agreed = texts.join("\n") === this.texts.join("\n") ? this.agreed + 1 : 1;
    this.texts = texts;
    const [only] = texts;
    if (texts.length > 1 || only === undefined || this.agreed < AGREE || this.takenAt.has(only)) return null;
    this.take(only, now);
    return only;
  }

  /** It was taken, by itself or by a tap. */
  take(text: string, now: number): void {
    this.takenAt.set(text, now);
  }

  /** What was taken and is still in view stays taken. */
  private forget(texts: readonly string[], now: number): void {
    for (const [text, at] of this.takenAt) {
      if (texts.includes(text)) this.takenAt.set(text, now);
      else if (now - at > GONE_MS) this.takenAt.delete(text);
    }
  }
}
