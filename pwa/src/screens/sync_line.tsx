import "./sync_line.css";
import type { Setting } from "../bench/server_clock.ts";
import { Button } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { lasting, loss } from "../live/keeping.ts";
import { photosWaiting } from "../live/photos.ts";
import { alone } from "../live/server_alarms.ts";
import { clockWarning, newVersion, now, recentSetting, syncing } from "../live/state.ts";
import { clockTime } from "../moments.ts";
import { settingSentence } from "../phone/time.ts";
import { loadNewVersion } from "../phone/update.ts";
import type { PhotosView } from "../store/photo_sender.ts";
import type { SyncView } from "../store/sender.ts";
import { aloneWords } from "./words/alone.ts";
import { counted, listed } from "./words/names.ts";

/** Whether the server has everything that was recorded here, and whether it rings. Always in sight. */
export function SyncLine() {
  const { state } = syncing.value;
  const photos = photosWaiting.value;
  const ringsAlone = aloneWords(alone.value, state, now.value);
  const synced = state === "synced" && !photos.sentence && !syncing.value.note;
  const calm = !ringsAlone && (synced || state === "sending");
  return (
    <>
      <p class={calm ? "sync-line" : "sync-line astray"} role="status">
        <Icon name={calm ? "sync" : "away"} />
        <span>{[sentence(syncing.value, photos), ringsAlone].filter(Boolean).join(" ")}</span>
      </p>
      {clockWarning.value && (
        <p class="sync-line astray" role="alert">
          <Icon name="clock" />
          <span>{clockWarning.value}</span>
        </p>
      )}
      {recentSetting.value && <ServerClockSet {...recentSetting.value} />}
      {lasting.value === "private" && (
        <p class="sync-line astray" role="alert">
          <Icon name="warn" />
          <span>
            This window is private: it keeps nothing once it is closed. Work in a usual one, or see that all is with the
            server before you close it.
          </span>
        </p>
      )}
      {loss.value && (
        <div class="sync-line astray told" role="alert">
          <Icon name="warn" />
          <span>{loss.value}</span>
          <Button onTap={() => (loss.value = "")}>Understood</Button>
        </div>
      )}
      {newVersion.value && (
        <div class="sync-line">
          <span>A newer page is ready. What waits on this phone stays.</span>
          <Button onTap={() => void loadNewVersion()}>Load it</Button>
        </div>
      )}
    </>
  );
}

/** Whose clock was wrong: the server's. It stands out where something is in doubt since. */
function ServerClockSet({ what, ms }: Setting) {
  const inDoubt = (what.earlier_ms ?? null) !== null;
  return (
    <p class={inDoubt ? "sync-line astray" : "sync-line"} role="alert">
      <Icon name="clock" />
      <span>{settingSentence(what, ms)}</span>
    </p>
  );
}

function sentence({ state, waiting, since, sentence: problem, note = "" }: SyncView, photos: PhotosView): string {
  const waits = waitingHere(waiting, photos.waiting);
  const from = waiting > 0 && since !== null ? ` since ${clockTime(since, now.value)}` : "";
  if (state === "synced")
    return [waits && `${waits}.`, photos.sentence, note].filter(Boolean).join(" ") || "All is with the server.";
  if (state === "sending") return waits ? `Sending: ${waits}.` : "Asking the server.";
  if (state === "away")
    return waits ? `${waits}${from}: the server is away.` : "The server is away. Go on: everything is kept here.";
  return state === "phone full" ? problem : [problem, waits && `${waits}.`].filter(Boolean).join(" ");
}

/** "2 things and 1 photo wait on this phone"; "" when nothing does. */
function waitingHere(things: number, photos: number): string {
  const what = [things && counted(things, "thing"), photos && counted(photos, "photo")].filter((words) => words !== 0);
  return things + photos === 0 ? "" : `${listed(what)} ${things + photos === 1 ? "waits" : "wait"} on this phone`;
}
