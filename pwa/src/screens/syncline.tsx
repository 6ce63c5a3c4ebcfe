import { Button } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { clockTime } from "../controls/moments.ts";
import { clockTrouble, newVersion, now, type SyncView, syncing, takeNewVersion } from "../live.ts";
import { counted } from "./words/names.ts";

/** Always in sight: whether everything here is also with the server, in plain words. */
export function SyncLine() {
  const { state } = syncing.value;
  const calm = state === "synced" || state === "sending";
  return (
    <>
      <p class={calm ? "sync-line" : "sync-line astray"} role="status">
        <Icon name={calm ? "sync" : "away"} />
        <span>{sentence(syncing.value)}</span>
      </p>
      {clockTrouble.value && (
        <p class="sync-line astray" role="alert">
          <Icon name="clock" />
          <span>{clockTrouble.value}</span>
        </p>
      )}
      {newVersion.value && (
        <div class="sync-line">
          <span>A newer page is ready. What waits on this phone stays.</span>
          <Button onTap={() => void takeNewVersion()}>Load it</Button>
        </div>
      )}
    </>
  );
}

function sentence({ state, waiting, since, sentence: told }: SyncView): string {
  const waits = waiting === 0 ? "" : `${counted(waiting, "thing waits", "things wait")} on this phone`;
  const from = waits && since !== null ? ` since ${clockTime(since, now.value)}` : "";
  if (state === "synced") return "All is with the server.";
  if (state === "sending") return waits ? `Sending: ${waits}.` : "Asking the server.";
  if (state === "away")
    return waits ? `${waits}${from}: the server is away.` : "The server is away. Go on: everything is kept here.";
  return told;
}
