import { beforeEach, expect, test } from "vitest";
import { clockSettings, now, recentSetting } from "../../pwa/src/live/state.ts";
import type { Happening } from "../../pwa/src/wire.gen.ts";

const MINUTE = 60_000;
const SET_MS = 1_795_597_200_000;
const WHAT = { kind: "clock-set", base: 1, since: 0, by_ms: -3 * 60 * MINUTE, earlier_ms: null } as const;
const SETTING = { what: WHAT, ms: SET_MS, recorded: {} as Happening };

beforeEach(() => {
  clockSettings.value = [];
});

test("without a setting none is shown", () => {
  now.value = SET_MS;

  expect(recentSetting.value).toBeNull();
});

test("that the server's clock was set is shown for an hour", () => {
  clockSettings.value = [SETTING];
  const shown = [0, 59, 61].map((minutes) => {
    now.value = SET_MS + minutes * MINUTE;
    return recentSetting.value;
  });

  expect(shown).toEqual([SETTING, SETTING, null]);
});
