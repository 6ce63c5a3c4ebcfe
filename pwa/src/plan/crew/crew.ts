/** A problem for several pairs of hands, and who of them may do what where they differ. */
import type { Hand, Problem } from "../../wire.gen.ts";
import { withoutBegun } from "../model/begun.ts";
import { type CompiledProblem, stationsOf } from "../model/compiled_problem.ts";
import { hoursOfHand } from "../model/hands.ts";
import type { Hours } from "../model/hours.ts";

/** One of several hands that differ. place: in `Problem.crew`. hours: when it is there. unable: by station number. */
export type CrewHand = { readonly place: number; readonly hours: Hours; readonly unable: ReadonlySet<number> };

/**
 * A problem for several pairs of hands. compiled, begun, first: as in `UnbegunProblem`.
 *
 * people: the hands where they differ, those that may use least first, so that others are left for the rest; empty where
 * all are alike.
 */
export type Crew = {
  readonly compiled: CompiledProblem;
  readonly hands: number;
  readonly begun: ReadonlySet<number>;
  readonly first: ReadonlySet<number>;
  readonly people: readonly CrewHand[];
};

/** The problem for its crew. Throws RangeError where a link or hold names an operation that is not there. */
export function crewOf(problem: Problem): Crew {
  const { compiled, begun, first } = withoutBegun(problem);
  const people = problem.crew.map((hand, place) => crewHand(problem, hand, place));
  const byAbility = people.sort((a, b) => b.unable.size - a.unable.size);
  return { compiled, hands: problem.hands, begun, first, people: byAbility };
}

function crewHand(problem: Problem, hand: Hand, place: number): CrewHand {
  const unable = stationsOf(problem).flatMap(({ id }, n) => (hand.unable.includes(id) ? [n] : []));
  return { place, hours: hoursOfHand(problem, hand), unable: new Set(unable) };
}

/** Who may use the station, by their places in `people`; everyone where it is none. */
export function ableAt(people: readonly CrewHand[], station: number): readonly number[] {
  return people.flatMap((one, n) => (one.unable.has(station) ? [] : [n]));
}

/** Whether all of these hands are among the others. */
export function isWithin(hands: readonly number[], others: readonly number[]): boolean {
  return hands.every((one) => others.includes(one));
}
