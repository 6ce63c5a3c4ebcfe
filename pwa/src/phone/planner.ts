/** The planner of this phone, in a thread of its own: the page only posts to it, so that no tap waits for a plan. */
import type { Sheet } from "../wire.gen.ts";
import type { OwnPlan, Told, ToPlanner } from "./own_plan.ts";
import type { PlanQuestion } from "./plan_question.ts";

/** How long a plan is waited for, the start of the thread included. A phone that is as slow as that is not helped by it. */
const MOST_MS = 10_000;

/** After so many plans that did not come, one after the other, no more is asked for: something is wrong with this phone. */
const MOST_FAILURES = 3;

/** One thread, started with the first question, and again after it failed. Ask it one question at a time. */
export class Planner {
  private worker: Worker | null = null;
  private readonly sent = new Set<string>();
  private told: Told | null = null;
  private failures = 0;

  /**
   * The plan that goes on from what the server told; null when none comes, or when there is nothing to plan. Never rejects.
   *
   * sheetOf: the sheet of a build that is in the question.
   */
  async ask(
    question: PlanQuestion,
    told: Told,
    sheetOf: (build: string) => Sheet | undefined,
  ): Promise<OwnPlan | null> {
    if (this.failures >= MOST_FAILURES || !("Worker" in globalThis)) return null;
    try {
      const found = await this.answer(this.message(question, told, sheetOf));
      this.failures = 0;
      return found;
    } catch (error) {
      console.error(error);
      this.failures += 1;
      this.end();
      return null;
    }
  }

  /** Ends the thread; another question starts another. */
  end(): void {
    this.worker?.terminate();
    this.worker = null;
    this.sent.clear();
    this.told = null;
  }

  private message(question: PlanQuestion, told: Told, sheetOf: (build: string) => Sheet | undefined): ToPlanner {
    const sheets: Record<string, Sheet> = {};
    for (const { id } of question.builds) {
      const sheet = this.sent.has(id) ? undefined : sheetOf(id);
      if (!sheet) continue;
      sheets[id] = sheet;
      this.sent.add(id);
    }
    if (told.plan === this.told?.plan && told.pace === this.told.pace) return { question, sheets };
    this.told = told;
    return { question, sheets, told };
  }

  /** What the thread answers. Rejects when it fails or takes too long. */
  private answer(message: ToPlanner): Promise<OwnPlan | null> {
    this.worker ??= new Worker(new URL("./planner.worker.ts", import.meta.url), { type: "module" });
    const { worker } = this;
    return new Promise((resolve, reject) => {
      const late = setTimeout(() => reject(new Error("the phone's own plan takes too long")), MOST_MS);
      const first = (settle: () => void) => {
        clearTimeout(late);
        settle();
      };
      worker.onmessage = ({ data }: MessageEvent<OwnPlan | null>) => first(() => resolve(data));
      worker.onerror = ({ message: what }) => first(() => reject(new Error(`the phone's own plan failed: ${what}`)));
      worker.postMessage(message);
    });
  }
}
