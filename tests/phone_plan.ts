/** Phones that hear what was recorded in a shop and plan by themselves, as often as they are asked. */

import { clocksOfAll } from "../pwa/src/bench/clocks.ts";
import { isOpen, LoadedBuilds } from "../pwa/src/bench/loaded_builds.ts";
import { type Advice, adviceFor } from "../pwa/src/bench/next.ts";
import { leading, withReasons } from "../pwa/src/bench/planned.ts";
import type { Raw } from "../pwa/src/bench/read.ts";
import { type OwnPlan, ownPlan } from "../pwa/src/phone/own_plan.ts";
import { planQuestion } from "../pwa/src/phone/plan_question.ts";
import type { PresentedPlan } from "../pwa/src/wire.gen.ts";

const shops = new Map<string, { readonly loaded: LoadedBuilds; readonly builds: Set<string> }>();

/** What a phone puts first, and the CPU time its own plan took, in ms. */
type Answer = { readonly first: { readonly build: string; readonly operation: string } | null; readonly ms: number };

/** What has been recorded in a shop since it was last told of. */
export function heard(name: string, written: readonly Raw[]): void {
  const shop = shops.get(name) ?? { loaded: new LoadedBuilds(), builds: new Set<string>() };
  shops.set(name, shop);
  shop.loaded.add(written);
  for (const { build } of written) shop.builds.add(build);
}

/** What a phone in that shop puts first at `now`, by its own plan. told: the server's last, null for none. ends: of the day. */
export function phonesChoice(name: string, now: number, ends: number, told: PresentedPlan | null): Answer {
  const shop = shops.get(name);
  const views = [...(shop?.builds ?? [])].flatMap((id) => shop?.loaded.view(id) ?? []);
  const state = shop?.loaded.shop() ?? { settings: {}, readings: [] };
  const question = structuredClone(planQuestion(views, state, now));
  const sheets = new Map(views.map(({ id, sheet }) => [id, sheet]));
  const began = process.cpuUsage();
  const own = ownPlan(question, sheets, { plan: told, pace: told?.pace ?? null });
  const { user, system } = process.cpuUsage(began);
  const open = views.filter(({ bench }) => isOpen(bench));
  const running = clocksOfAll(open, state.readings, now);
  const ahead = ({ steps }: Pick<OwnPlan, "steps">) => leading(steps, open, () => true);
  const planned = withReasons(ahead(own), told ? ahead(told) : []);
  const advice: Advice = adviceFor(open, running, now, { dayEnds: ends, planned });
  const [first = null] = [...advice.now, ...advice.meanwhile];
  return { first: first && { build: first.build, operation: first.operation }, ms: (user + system) / 1000 };
}
