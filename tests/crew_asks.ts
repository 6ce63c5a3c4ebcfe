/** What Python may ask of the page's search for several pairs of hands; plans are asked for as those for one pair are. */
import { projectOf } from "../pwa/src/plan/crew/as_project.ts";
import { crewOf } from "../pwa/src/plan/crew/crew.ts";
import { crewBound } from "../pwa/src/plan/crew/crew_bound.ts";
import { crewWithLimits } from "../pwa/src/plan/crew/crew_generation.ts";
import { generateParallelForCrew } from "../pwa/src/plan/crew/parallel_generation.ts";
import type { Project, ProjectSchedule } from "../pwa/src/plan/crew/project.ts";
import { searchProject } from "../pwa/src/plan/crew/project_search.ts";
import type { Schedule } from "../pwa/src/plan/model/schedule.ts";
import { Random } from "../pwa/src/plan/search/random.ts";
import type { Problem } from "../pwa/src/wire.gen.ts";

/** Values, setup weight, longest idle time and weight of craft. */
type Weighed = readonly [readonly number[], number, number, number];

/** The schedule of each of these orders for the crew. */
function crewOrders(problem: Problem, orders: readonly (readonly number[])[]): unknown {
  const crew = crewOf(problem);
  return orders.map((order) => scheduleTold(crewWithLimits(crew, order)));
}

/** The schedule that each of these priorities makes for the crew. */
function crewChoices(problem: Problem, choices: readonly Weighed[]): unknown {
  const crew = crewOf(problem);
  return choices.map(([values, setupWeight, mostIdle, craft]) => {
    return scheduleTold(generateParallelForCrew(crew, { values, setupWeight, mostIdle, craft }));
  });
}

/** The bound for hands that differ. */
function boundOfCrew(problem: Problem): number {
  const crew = crewOf(problem);
  return crewBound(crew, crew.compiled.hours.closes.at(-1) ?? crew.compiled.start);
}

/** The best schedule of a project after each of so many tries, or until it is proved. */
function projectSchedules(project: Project, seed: number, count: number): readonly ProjectSchedule[] {
  const found: ProjectSchedule[] = [];
  for (const one of searchProject(project, new Random(seed))) if (found.push(one) === count) break;
  return found;
}

function scheduleTold(schedule: Schedule | null): unknown {
  if (schedule === null) return null;
  const { order, start, end, finish, changes, hand } = schedule;
  return [order, start, end, finish, changes, hand];
}

// biome-ignore lint/suspicious/noExplicitAny: what is given comes from Python, in the order of the arguments
export const CREW_ASKS: Readonly<Record<string, (...given: any[]) => unknown>> = {
  plan_crew_orders: (problem, orders) => crewOrders(problem, orders),
  plan_crew_choices: (problem, choices) => crewChoices(problem, choices),
  plan_crew_bound: (problem) => boundOfCrew(problem),
  plan_project: (problem) => projectOf(problem, crewOf(problem)),
  plan_project_schedules: (project, seed, count) => projectSchedules(project, seed, count),
};
