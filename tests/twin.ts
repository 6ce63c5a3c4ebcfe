/** Answers Python's questions for as long as it asks: a JSON line {"ask", "given"} in, a JSON line out. */
import { createInterface } from "node:readline";
import { answerTo } from "./asks.ts";

createInterface({ input: process.stdin }).on("line", async (line) => {
  const { ask, given } = JSON.parse(line);
  process.stdout.write(`${JSON.stringify(await answerOrFault(ask, given))}\n`);
});

/** A fault of the page is told to whoever asked; the process lives on for the next question. */
async function answerOrFault(ask: string, given: readonly unknown[]): Promise<unknown> {
  try {
    return await answerTo(ask, given);
  } catch (error) {
    return { fault: error instanceof Error ? error.stack : String(error) };
  }
}
