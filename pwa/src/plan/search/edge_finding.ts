/**
 * A sharper lower bound on the finish: edge finding for one pair of hands over operations and setups.
 *
 * In open minutes the operations and the setups that any plan needs are jobs of one machine, without interruption. When
 * they are to be done by some finish, edge finding tells which job must come after all of a set of others. What it
 * narrows, precedence and hours pass on, until nothing changes or a job no longer fits between its head and its deadline.
 */
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { bisectLeft, bisectRight, FAR, type Hours } from "../model/hours.ts";
import { earliestStarts, type Job, jobsByFinish, latestStarts, type SetupJob, setupJobs } from "./bound.ts";

/**
 * A minute before which no plan finishes, for one pair of hands.
 *
 * low: such a minute that is known. high: a finish that some plan reaches. isSpent: asked before each pass; when it says
 * so, what is proved by then counts.
 */
export function sharperBound(compiled: CompiledProblem, low: number, high: number, isSpent: () => boolean): number {
  const setups = setupJobs(compiled);
  const heads = earliestStarts(compiled);
  let [least, most] = [low, high];
  while (least < most) {
    const middle = Math.floor((least + most) / 2);
    const refuted = isRefutedByEdges(compiled, setups, heads, middle, isSpent);
    if (refuted === null) break;
    if (refuted) least = middle + 1;
    else most = middle;
  }
  return least;
}

/** True if no plan can be done by `finish`; false if that is not refuted; null if there was no time to tell. */
function isRefutedByEdges(
  compiled: CompiledProblem,
  setups: readonly SetupJob[],
  ready: readonly number[],
  finish: number,
  isSpent: () => boolean,
): boolean | null {
  const due = new Array<number>(ready.length).fill(finish);
  let heads: number[] = [...ready];
  let moved = true;
  while (moved) {
    if (isSpent()) return null;
    heads = earliestStarts(compiled, heads);
    const tails = latestStarts(compiled, due);
    if (tails.some((tail, i) => tail < (heads[i] as number))) return true;
    const jobs = jobsByFinish(compiled, setups, heads, tails);
    const narrowed = narrowedJobs(compiled, setups, jobs);
    if (narrowed === null) return true;
    moved = narrow(compiled, jobs, narrowed, heads, due);
  }
  return false;
}

/** By job, a later release and an earlier deadline; null if some job cannot be done in time. jobs: operations first. */
function narrowedJobs(
  compiled: CompiledProblem,
  setups: readonly SetupJob[],
  jobs: readonly Job[],
): { readonly releases: readonly number[]; readonly deadlines: readonly number[] } | null {
  const end = compiled.hours.worked.at(-1) as number;
  const releases = laterReleases(jobs);
  const reverse = laterReleases(jobs.map(([release, deadline, minutes]) => [end - deadline, end - release, minutes]));
  if (releases === null || reverse === null) return null;
  const count = compiled.ids.length;
  setups.forEach(({ minutes, ops }, n) => {
    const set = (releases[count + n] as number) + minutes;
    for (const i of ops) releases[i] = Math.max(releases[i] as number, set);
  });
  return { releases, deadlines: reverse.map((release) => end - release) };
}

/** Put what was narrowed into heads and due, by operation; true if anything was. */
function narrow(
  { hours, runs, ids }: CompiledProblem,
  jobs: readonly Job[],
  { releases, deadlines }: { readonly releases: readonly number[]; readonly deadlines: readonly number[] },
  heads: number[],
  due: number[],
): boolean {
  let moved = false;
  for (let i = 0; i < ids.length; i++) {
    const [release, deadline] = jobs[i] as Job;
    const later = releases[i] as number;
    const sooner = deadlines[i] as number;
    if (later > release) heads[i] = Math.max(heads[i] as number, firstMoment(hours, later));
    if (sooner < deadline) due[i] = Math.min(due[i] as number, lastMoment(hours, sooner) + (runs[i] as number));
    moved ||= later > release || sooner < deadline;
  }
  return moved;
}

/**
 * By job, a release before which it cannot start on one machine; null if some job cannot be done in time.
 *
 * For each deadline the jobs due by then are a set. A job that cannot be done before or among the jobs of such a set that
 * are released no sooner than one of them comes after all of these.
 */
export function laterReleases(jobs: readonly Job[]): number[] | null {
  const found = jobs.map(([release]) => release);
  const order = [...jobs.keys()].filter((n) => (jobs[n] as Job)[2] > 0);
  order.sort((a, b) => (jobs[a] as Job)[0] - (jobs[b] as Job)[0]);
  // Lists by place in order, since these loops take longer than all else that proves.
  const releases = order.map((n) => (jobs[n] as Job)[0]);
  const deadlines = order.map((n) => (jobs[n] as Job)[1]);
  const lengths = order.map((n) => (jobs[n] as Job)[2]);
  const ends = order.map(() => 0); // the least end of the set's jobs from this place on
  for (const limit of [...new Set(deadlines)].sort((a, b) => a - b)) {
    let [work, end, longest] = [0, 0, 0];
    for (let place = order.length - 1; place >= 0; place--) {
      const minutes = lengths[place] as number;
      if ((deadlines[place] as number) <= limit) {
        work += minutes;
        end = Math.max(end, (releases[place] as number) + work);
      } else {
        longest = Math.max(longest, minutes);
      }
      ends[place] = end;
    }
    if (end > limit) return null;
    if (end + longest <= limit || work === 0) continue;
    let latest = 0;
    for (let place = 0; place < order.length; place++) {
      const n = order[place] as number;
      const release = releases[place] as number;
      const minutes = lengths[place] as number;
      if ((deadlines[place] as number) <= limit) {
        latest = Math.max(latest, release + work);
        work -= minutes;
      } else if (latest + minutes > limit) {
        found[n] = Math.max(found[n] as number, end);
      } else if (work > 0 && release + work + minutes > limit) {
        found[n] = Math.max(found[n] as number, ends[place] as number);
      }
    }
  }
  return found;
}

/** The first moment before which there are so many open minutes; FAR when there are never so many. */
function firstMoment({ opens, worked }: Hours, position: number): number {
  const k = bisectLeft(worked, position) - 1;
  if (k < 0) return opens[0] ?? FAR;
  return k < opens.length ? (opens[k] as number) + position - (worked[k] as number) : FAR;
}

/** The last moment before which there are no more than so many open minutes; FAR when there are never more. */
function lastMoment({ opens, worked }: Hours, position: number): number {
  const k = bisectRight(worked, position) - 1;
  return k < opens.length ? (opens[k] as number) + position - (worked[k] as number) : FAR;
}
