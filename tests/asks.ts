/**
 * What Python may ask of the page: one line a question, named as in Python, its arguments in `given`.
 * The vectors and Hypothesis both come this way.
 */
import { calendarOf, leastSequence, plain as plainText, uidOf } from "../pwa/src/alerts/calendar.ts";
import { readQuiet, ringsAt } from "../pwa/src/alerts/quiet.ts";
import { ringText } from "../pwa/src/bench/clock_kinds.ts";
import { fixtureKey, howMany } from "../pwa/src/bench/fixtures.ts";
import { measureAgain } from "../pwa/src/bench/measured.ts";
import { isUnclamped } from "../pwa/src/bench/unclamped.ts";
import { Refused } from "../pwa/src/findings.ts";
import { spansOf } from "../pwa/src/phone/shop_hours.ts";
import { evaluate, namesIn } from "../pwa/src/recipe/formula.ts";
import {
  checkCharacter,
  labelTarget,
  newCode,
  readCode,
  showCode,
  similarCodes,
  slug,
} from "../pwa/src/recipe/label_code.ts";
import { dimName, dimNamed, plain, read, roundHalfUp, show } from "../pwa/src/recipe/measure.ts";
import { floorDiv, floorMod } from "../pwa/src/recipe/whole_numbers.ts";
import {
  clockTold,
  dueTold,
  entryTold,
  heldTold,
  holdsTold,
  partTold,
  ringsTold,
  sentenceTold,
  setupTold,
  shopTold,
  sizeTold,
  stagesTold,
  standsTold,
  stateTold,
} from "./briefs.ts";
import { adviceAt, areReadable, benchAt, entriesAt, sentencesOf, stateOfRaw, stateStepByStep } from "./history.ts";
import { PLAN_ASKS } from "./plan_asks.ts";

// biome-ignore lint/suspicious/noExplicitAny: what is given comes from Python, in the order of the arguments
const ASKS: Readonly<Record<string, (...given: any[]) => unknown>> = {
  read: (text) => read(text),
  show: (value, dim, units) => show(value, dimNamed(dim), units),
  dim_name: (dim) => dimName(dim),
  plain: (value, places) => plain(value, places),
  round_half_up: (value) => roundHalfUp(value),
  floor_div: (a, b) => floorDiv(a, b),
  floor_mod: (a, b) => floorMod(a, b),
  evaluate: (postfix, sizes) => evaluate(postfix, sizes),
  names_in: (postfix) => [...namesIn(postfix)].sort(),
  new_code: (bits) => newCode(bits),
  check_character: (data) => checkCharacter(data),
  read_code: (text) => readCode(text),
  show_code: (code) => showCode(code),
  similar_codes: (text, known) => similarCodes(text, known),
  spans_of: (text) => spansOf(text),
  slug: (name) => slug(name),
  label_target: (text) => labelTarget(text),
  ring_text: (kind, stage) => ringText(kind, stage, undefined),
  ring_told: (kind, stage, operation) => ringText(kind, stage, operation).title,
  is_unclamped: (operation) => isUnclamped(operation),
  sentence_of: (build, what, units) => sentenceTold(build, what, units),
  sentences_of: (written) => sentencesOf(written),
  are_readable: (written) => areReadable(written),
  state_of: (written) => stateOfRaw(written),
  state_step_by_step: (written) => stateStepByStep(written),
  bench_at: (written, air, moments) => benchAt(written, air, moments),
  advice: (open, now, ends, steps) => adviceAt(open, now, ends, steps),
  state_told: (build, briefs, path) => stateTold(build, briefs, path),
  shop_told: (briefs) => shopTold(briefs),
  clock_told: (build, briefs, readings, now, operation, kind) =>
    clockTold(build, briefs, readings, now, operation, kind),
  rings_told: (build, briefs, readings, now) => ringsTold(build, briefs, readings, now),
  rings_at: (quiet, kind, due) => ringsAt(readQuiet(quiet), kind, due),
  due_told: (build, briefs, quiet, now) => dueTold(build, briefs, quiet, now),
  entry_told: (build, briefs, quiet, now, operation, kind) => entryTold(build, briefs, quiet, now, operation, kind),
  entries_at: (written, quiet, now) => entriesAt(written, quiet, now),
  stream_of: (made) => calendarOf(made),
  uid_of: (build, operation, kind, stamp) => uidOf(build, operation, kind, stamp),
  least_sequence: (started, now) => leastSequence(started, now),
  plain_text: (text) => plainText(text),
  stages_told: (build, briefs, readings, now, operation, kind) =>
    stagesTold(build, briefs, readings, now, operation, kind),
  holds_told: (build, briefs, readings, now, operation) => holdsTold(build, briefs, readings, now, operation),
  measure_again: (size, value, units) => measureAgain(size, value ?? undefined, units),
  held_told: (build, briefs) => heldTold(build, briefs),
  stands_told: (builds) => standsTold(builds),
  fixture_key: (build, fixture) => fixtureKey(build, fixture),
  how_many: (fixture, owned, most) => howMany(fixture, owned, most),
  size_told: (build, briefs, piece, name) => sizeTold(build, briefs, piece, name),
  part_told: (build, briefs, id) => partTold(build, briefs, id),
  setup_told: (build, briefs, piece, id) => setupTold(build, briefs, piece, id),
  ...PLAN_ASKS,
};

/** The answer, or the sentence of a refusal. */
export type Answer = { readonly answer: unknown } | { readonly refused: string };

/** What the page says to a question. Rejects with RangeError for one that is not in the list. */
export async function answerTo(ask: string, given: readonly unknown[]): Promise<Answer> {
  const known = ASKS[ask];
  if (!known) throw new RangeError(`nobody answers ${ask}: give it a line in tests/asks.ts`);
  try {
    return { answer: await known(...given) };
  } catch (error) {
    if (error instanceof Refused) return { refused: error.message };
    throw error;
  }
}
