/** Answers Python's questions for as long as it asks: a JSON line {"ask", "given"} in, a JSON line out. */
import { createInterface } from "node:readline";
import { answerTo } from "./asks.ts";

createInterface({ input: process.stdin }).on("line", (line) => {
  const { ask, given } = JSON.parse(line);
  process.stdout.write(`${JSON.stringify(answerOrFault(ask, given))}\n`);
});

/** A fault of the page is told to whoever asked; the process lives on for the next question. */
function answerOrFault(ask: string, given: readonly unknown[]): unknown {
  try {
    return answerTo(ask, given);
  } catch (error) {
    return { fault: error instanceof Error ? error.stack : String(error) };
  }
}
