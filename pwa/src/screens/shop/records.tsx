import { useSignal } from "@preact/signals";
import { Button } from "../../controls/button.tsx";
import { Notice } from "../../controls/notice.tsx";
import { askServer } from "../../live/session.ts";
import { now, summaries } from "../../live/state.ts";
import { clockTime, dayAndTime, longDate } from "../../moments.ts";
import type { Explanation } from "../../store/server_client.ts";
import type { RecordsCondition, Redated } from "../../wire.gen.ts";
import { Fetched } from "../fetched.tsx";
import { who } from "../words/devices.ts";
import { counted } from "../words/names.ts";
import { StatusLine } from "./status_line.tsx";

/** Whether all that the server keeps is as it was stored, what is not, and what to do about it. */
export function Records() {
  const turn = useSignal(0);
  return (
    <section class="block">
      <h2>Records</h2>
      <Fetched<RecordsCondition> key={turn.value} path="/records">
        {(found) => (
          <>
            <ul class="rows">
              {linesOf(found).map(({ able, what, next }) => (
                <li key={what} class="row">
                  <StatusLine able={able} what={what} next={next} />
                </li>
              ))}
            </ul>
            <Ahead
              found={found}
              onDone={() => {
                turn.value += 1;
              }}
            />
          </>
        )}
      </Fetched>
    </section>
  );
}

type Line = { readonly able: boolean; readonly what: string; readonly next?: string };

const SENT_AGAIN =
  "Open the page on every paired phone: one that has it sends it again. If it stays, restore a backup.";

/** What is known of the records, in sentences: first whether all was checked, then what is wrong. */
export function linesOf(found: RecordsCondition): readonly Line[] {
  return [{ able: true, what: checkedWords(found) }, ...damageIn(found), ...unreadableIn(found), ...failuresIn(found)];
}

function checkedWords({ passed_ms, entries, of, photos }: RecordsCondition): string {
  if (passed_ms === null)
    return `Being checked for damage: ${Math.min(entries, of)} of ${counted(of, "entry", "entries")}.`;
  const what = [counted(of, "entry", "entries"), photos > 0 && counted(photos, "photo")].filter(Boolean).join(" and ");
  return `Checked for damage at ${clockTime(passed_ms, now.value)}: ${what}.`;
}

function damageIn({ damaged, damaged_photos }: RecordsCondition): readonly Line[] {
  const builds = damaged.map(({ build, entries, beginning }) => ({
    able: false,
    what: `${buildName(build)}: ${counted(entries, "entry is", "entries are")} damaged${beginning ? ", its beginning among them: the server rings none of its clocks" : ", all others count"}.`,
    next: SENT_AGAIN,
  }));
  if (damaged_photos === 0) return builds;
  return [
    ...builds,
    { able: false, what: `${counted(damaged_photos, "photo is", "photos are")} damaged.`, next: SENT_AGAIN },
  ];
}

function unreadableIn({ unreadable }: RecordsCondition): readonly Line[] {
  return unreadable.map(({ build, entries }) => ({
    able: false,
    what: `${buildName(build)}: ${counted(entries, "entry says", "entries say")} what cannot be, such as a size that no workshop has. All others count.`,
    next: "Record what is missing again.",
  }));
}

function failuresIn({ file, failed }: RecordsCondition): readonly Line[] {
  const builds = failed.map((build) => ({
    able: false,
    what: `${buildName(build)}: the server cannot work out its clocks, and rings none of them.`,
    next: "Rely on this phone for them, and look into the server's log.",
  }));
  if (file === "") return builds;
  const next = "Make a backup now, and look at the disk. If the backup is refused, restore the last good one.";
  return [...builds, { able: false, what: `The records' file is damaged (${file}).`, next }];
}

function buildName(build: string): string {
  if (build === "") return "The shop's settings and air";
  return summaries.value.find(({ id }) => id === build)?.name ?? `Build ${build.slice(-4)}`;
}

type AheadProps = { readonly found: RecordsCondition; readonly onDone: () => void };

/** Entries whose time is far ahead of the server's: whose clock was wrong, a person knows. */
function Ahead({ found, onDone }: AheadProps) {
  const refusal = useSignal<Explanation | null>(null);
  const { early, ahead, now_ms } = found;
  if (early.length === 0 && ahead.length === 0) return null;
  const redate = async () => {
    const reply = await askServer<Redated>("/records/redate", { body: {} });
    if (reply.kind === "ok") onDone();
    else refusal.value = reply.problem;
  };
  return (
    <Notice icon="clock" what={`The server's clock says ${longDate(now_ms)}, ${dayAndTime(now_ms).slice(-5)}.`}>
      {early.map(({ device, entries, latest_ms }) => (
        <p key={device}>
          {counted(entries, "entry", "entries")} of {who(device)} {entries === 1 ? "waits" : "wait"} outside the log:
          the time on {entries === 1 ? "it" : "them"}, up to {longDate(latest_ms)}, is far ahead of that.
        </p>
      ))}
      {ahead.map(({ build, entries }) => (
        <p key={build}>
          {buildName(build)}: {counted(entries, "entry has", "entries have")} a time that is far ahead of that.
        </p>
      ))}
      <p>
        Is the server's clock right? Then have them recorded again with its time; how long things took is not known
        then. If it is wrong, set it: what waits joins the log by itself.
      </p>
      <Button icon="clock" onTap={() => void redate()}>
        It is right: record them again
      </Button>
      {refusal.value && <Notice what={refusal.value.what} next={refusal.value.next_step} grave />}
    </Notice>
  );
}
