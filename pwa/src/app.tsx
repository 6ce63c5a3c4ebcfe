/** The composition root: opens what the phone keeps, starts sync, and picks the screen. */
import "./style/all.css";
import { computed, effect } from "@preact/signals";
import { render } from "preact";
import { useLayoutEffect } from "preact/hooks";
import { isRaced } from "./bench/clock_kinds.ts";
import { Button } from "./controls/button.tsx";
import { Notice } from "./controls/notice.tsx";
import { TabBar } from "./controls/tab_bar.tsx";
import { Top } from "./controls/top.tsx";
import { goOn, learnLasting, missWhatWasKept } from "./live/keeping.ts";
import { followHistory, path } from "./live/navigation.ts";
import { watchOwnPlan } from "./live/own_plan.ts";
import { startPhotos } from "./live/photos.ts";
import { watchPlan } from "./live/plan.ts";
import { alone } from "./live/server_alarms.ts";
import { openSession } from "./live/session.ts";
import { builds, newVersion, nextMoment, now, ringing, running, shop, syncing } from "./live/state.ts";
import { startTicking } from "./live/ticking.ts";
import { Planner } from "./phone/planner.ts";
import { loadNewVersion, lookForVersion, watchVersions } from "./phone/update.ts";
import { startAlarms } from "./screens/ring/alarms.ts";
import { RingCard } from "./screens/ring/ring_card.tsx";
import { placeAt, TABS } from "./screens/routes.tsx";
import { SyncLine } from "./screens/sync_line.tsx";
import { learnNames } from "./screens/words/devices.ts";
import { openDatabase } from "./store/database.ts";
import type { Recorder } from "./store/recorder.ts";

function App() {
  const { screen, title, lit, isWhole } = placeAt(path.value);
  useLayoutEffect(() => {
    document.title = `${title} · Benchbell`;
  }, [path.value]);
  return (
    <>
      {!isWhole && <SyncLine />}
      <main class={isWhole ? "wall" : "page"}>{screen}</main>
      {!isWhole && <TabBar tabs={TABS} lit={lit} />}
      <RingCard />
    </>
  );
}

/** The phone will not let the page keep anything, so nothing may be recorded on it. */
function NoStore({ why }: { why: string }) {
  return (
    <main class="page">
      <Top title="This phone keeps nothing" />
      <Notice
        grave
        what={`The page cannot open its store on this phone: ${why}.`}
        next="Leave private browsing, allow this page to keep data, or free some room; then load it again."
      >
        <Button onTap={() => location.reload()}>Load it again</Button>
      </Notice>
    </main>
  );
}

/** Opens what the phone keeps, and starts to talk to the server. Rejects when the store cannot be opened. */
async function start(): Promise<void> {
  const reload = () => location.reload();
  const db = await openDatabase("benchbell", reload, () => void goOn());
  const world = { after, random: Math.random };
  const mark = await missWhatWasKept(db);
  const { device, recorder } = await openSession(db, world);
  const photos = startPhotos(db, device, world);
  effect(() => void (syncing.value.state === "synced" && photos.sendNow()));
  mark();
  startTicking(db);
  followHistory();
  watchWindow(recorder);
  recorder.wake();
  const isAlone = computed(() => alone.value !== null);
  effect(() => void (isAlone.value && recorder.syncNow())); // once, to learn why the server is silent
  void watchPlan(db, device, { syncing, builds, shop }).then(() =>
    watchOwnPlan(db, new Planner(), { builds, shop, next: nextMoment, now }),
  );
  effect(() => void (syncing.value.state === "page too old" && lookForVersion()));
  await watchVersions(() => {
    newVersion.value = true;
  });
}

/** Syncs when the network or this tab comes back; loads a new version once nobody looks. */
function watchWindow(recorder: Recorder): void {
  addEventListener("online", () => recorder.syncNow());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") recorder.wake();
    else if (newVersion.value && isSafeToReload()) loadNewVersion().catch(console.error);
  });
}

/** Whether no urgent clock runs, nothing rings, and everything that was recorded is on the phone's disk. */
function isSafeToReload(): boolean {
  const isAnyRaced = running.value.some(({ kind }) => isRaced(kind));
  return !isAnyRaced && ringing.value.length === 0 && syncing.value.state !== "phone full";
}

/** Does `work` after so many ms; gives what cancels it. */
function after(ms: number, work: () => void): () => void {
  const timer = setTimeout(work, ms);
  return () => clearTimeout(timer);
}

start().then(
  () => {
    render(<App />, document.body);
    startAlarms();
    void learnNames();
    void learnLasting();
  },
  (error: unknown) => render(<NoStore why={error instanceof Error ? error.message : String(error)} />, document.body),
);
