/**
 * Drawn durations: for each sample, how long every operation takes.
 *
 * Common random numbers: what is drawn for an operation or an effect depends on its name and the sample alone. So plans
 * that are compared meet the same luck, on the phone the same as on the server.
 */
import type { Pace } from "../../wire.gen.ts";
import { Random } from "../search/random.ts";
import { crc32 } from "./crc32.ts";
import { dot, rootOf } from "./matrix.ts";
import { inverseNormal } from "./normal.ts";
import { type Effect, placeOf, SHOP, workerOf } from "./pace.ts";

const STEPS = 1024;

/** An operation's planned attended minutes, and what its real ones depend on. id: names its luck. */
export type Duration = {
  readonly id: string;
  readonly minutes: number;
  readonly build: string;
  readonly kind: string;
};

/** By the name of an effect's luck, a value for each sample. */
type Drawn = ReadonlyMap<string, readonly number[]>;

/** By sample, the minutes of each operation; whole, and at least 1 where any are planned. */
export function drawnMinutes(pace: Pace, durations: readonly Duration[], count: number): number[][] {
  const shared = sharedFactors(pace, durations, count);
  const chance = scaled(equallyLikely(STEPS), pace, "chance").map(Math.exp);
  const samples = Array.from({ length: count }, () => new Array<number>(durations.length).fill(0));
  for (const [n, one] of durations.entries()) {
    const draw = new Random(crc32(one.id));
    const least = Math.min(one.minutes, 1);
    const factors = shared.get(one.build)?.get(one.kind) ?? [];
    for (const [at, sample] of samples.entries()) {
      const real = one.minutes * (factors[at] as number) * (chance[draw.below(STEPS)] as number);
      sample[n] = Math.max(least, Math.floor(real + 0.5));
    }
  }
  return samples;
}

/** By build and kind, for each sample the factor that all such operations of the build share. */
function sharedFactors(
  pace: Pace,
  durations: readonly Duration[],
  count: number,
): ReadonlyMap<string, ReadonlyMap<string, readonly number[]>> {
  const drawn = drawnEffects(pace, usedEffects(pace, durations), count);
  const persons = new Map<string, readonly number[]>();
  const found = new Map<string, Map<string, readonly number[]>>();
  for (const { build, kind } of durations) {
    const ofPerson = persons.get(build) ?? drawnPersons(pace, build, drawn, count);
    const ofBuild = found.get(build) ?? new Map<string, readonly number[]>();
    persons.set(build, ofPerson);
    found.set(build, ofBuild);
    if (ofBuild.has(kind)) continue;
    const effects: readonly Effect[] = [SHOP, ["kind", kind], ["build", build]];
    const logs = effects.map((effect) => of(drawn, effect));
    ofBuild.set(
      kind,
      ofPerson.map((person, n) => Math.exp(logs.reduce((sum, values) => sum + (values[n] as number), 0) + person)),
    );
  }
  return found;
}

/** The effects on which these durations depend, whoever does the work. */
function usedEffects(pace: Pace, durations: readonly Duration[]): Effect[] {
  const kinds = new Set(durations.map((one) => one.kind));
  const builds = new Set(durations.map((one) => one.build));
  const effects = (factor: string, names: Iterable<string>) => Array.from(names, (name): Effect => [factor, name]);
  const people = pace.people.map(([name]) => name);
  return [SHOP, ...effects("kind", kinds), ...effects("build", builds), ...effects("person", people)];
}

/** By effect, a value for each sample: jointly those that were learned, of the rest each from its prior. */
function drawnEffects(pace: Pace, effects: readonly Effect[], count: number): Drawn {
  const lucks = new Map(effects.map((effect) => [luckOf(effect), normals(luckOf(effect), count)]));
  const drawn = new Map(effects.map((effect) => [luckOf(effect), scaled(of(lucks, effect), pace, effect[0])]));
  const known = effects.flatMap((effect) => {
    const place = placeOf(pace, effect);
    return place === undefined ? [] : [{ effect, place, luck: of(lucks, effect) }];
  });
  const root = rootOf(
    known.map(({ place: a }, n) => known.slice(0, n + 1).map(({ place: b }) => covariance(pace, a, b))),
  );
  const bySample = Array.from({ length: count }, (_, n) => known.map(({ luck }) => luck[n] as number));
  for (const [n, { effect, place }] of known.entries()) {
    const row = root[n] as readonly number[];
    const mean = pace.mean[place] as number;
    drawn.set(
      luckOf(effect),
      bySample.map((sample) => mean + dot(row, sample)),
    );
  }
  return drawn;
}

/** The name of an effect's luck. */
function luckOf(effect: Effect): string {
  return effect.join("|");
}

function of(drawn: Drawn, effect: Effect): readonly number[] {
  return drawn.get(luckOf(effect)) as readonly number[];
}

/** The covariance of the effects at these places. */
function covariance(pace: Pace, a: number, b: number): number {
  return pace.covariance[Math.max(a, b)]?.[Math.min(a, b)] as number;
}

/** Standard normal values with the variance of this factor. */
function scaled(luck: readonly number[], pace: Pace, factor: string): number[] {
  const deviation = Math.sqrt(pace.variances[factor] as number);
  return luck.map((value) => deviation * value);
}

/** For each sample, the effect of who does the build's work: its worker, or anybody by how much each has done. */
function drawnPersons(pace: Pace, build: string, drawn: Drawn, count: number): readonly number[] {
  if (!pace.people.length) return scaled(normals(`person of ${build}`, count), pace, "person");
  const worker = workerOf(pace, build);
  if (worker !== undefined) return of(drawn, ["person", worker]);
  const draw = new Random(crc32(build));
  const names = pace.people.flatMap(([name, timed]) => new Array<string>(timed).fill(name));
  return Array.from({ length: count }, (_, n) => of(drawn, ["person", draw.oneOf(names)])[n] as number);
}

/**
 * So many standard normal values, always the same for a name: one from each of equally likely parts, shuffled.
 *
 * Latin hypercube sampling (McKay, Beckman and Conover 1979, from memory).
 */
function normals(name: string, count: number): number[] {
  const draw = new Random(crc32(name));
  const values = equallyLikely(count);
  for (let n = count - 1; n > 0; n--) {
    const other = draw.below(n + 1);
    [values[n], values[other]] = [values[other] as number, values[n] as number];
  }
  return values;
}

/** The middle of each of so many equally likely parts of the standard normal distribution. */
function equallyLikely(count: number): number[] {
  return Array.from({ length: count }, (_, n) => inverseNormal((n + 0.5) / count));
}
