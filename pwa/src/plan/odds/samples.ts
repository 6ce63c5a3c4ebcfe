/** What is drawn for each sample. */
import type { Problem } from "../../wire.gen.ts";
import type { Task } from "../tasks/task.ts";
import type { Duration } from "./draws.ts";
import { kindOf } from "./timings.ts";

/** What is drawn for each operation of the problem. tasks: by the problem's operations. */
export function durationsOf(problem: Problem, tasks: ReadonlyMap<string, Task>): readonly Duration[] {
  return problem.ops.map(({ id }) => {
    const { minutes, build, operation, act } = tasks.get(id) as Task;
    return { id, minutes, build, kind: kindOf(operation, act) };
  });
}
