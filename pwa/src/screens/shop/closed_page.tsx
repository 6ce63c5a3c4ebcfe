import { useSignal } from "@preact/signals";
import { Button } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { Notice } from "../../controls/notice.tsx";
import { askServer } from "../../live/session.ts";
import { now } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import { askPermission } from "../../phone/notify.ts";
import { canBePushed, subscribe, unsubscribe } from "../../phone/push.ts";
import type { Explanation, Reply } from "../../store/server_client.ts";
import type { AlertChannels, FeedAddress, PushKey } from "../../wire.gen.ts";
import { Fetched } from "../fetched.tsx";
import { StatusLine } from "./status_line.tsx";

/** How this device rings while the page is closed: a push where there is internet, a calendar where there is none. */
export function ClosedPage() {
  const turn = useSignal(0);
  const refusal = useSignal<Explanation | null>(null);
  const address = useSignal("");
  const done = (refused: Explanation | null) => {
    refusal.value = refused;
    turn.value += 1;
  };
  return (
    <section class="block">
      <h2>With the page closed</h2>
      <Fetched<AlertChannels> key={turn.value} path="/alerts">
        {(armed) => (
          <>
            <PushStatus armed={armed} onDone={done} />
            <CalendarStatus
              armed={armed}
              address={address.value}
              onAddress={(path) => set(address, path, done)}
              onDone={done}
            />
            {armed.bell && (
              <p class="row-words">
                <Icon name="done" />
                The server rings its own bell.
              </p>
            )}
          </>
        )}
      </Fetched>
      {refusal.value && <Notice icon="warn" what={refusal.value.what} next={refusal.value.next_step} />}
    </section>
  );
}

type Done = (refused: Explanation | null) => void;

function set(address: { value: string }, path: string, done: Done): void {
  address.value = new URL(path, location.origin).href;
  done(null);
}

function PushStatus({ armed, onDone }: { armed: AlertChannels; onDone: Done }) {
  if (!canBePushed()) {
    return (
      <StatusLine able={false} what="Cannot be pushed to." next="This browser has no push: use the calendar below." />
    );
  }
  if (armed.push) {
    return (
      <>
        <StatusLine
          able={armed.push.trouble === ""}
          what="The server pushes to this device, where both have internet."
          next={
            armed.push.trouble || "Heard on another device, a notice goes with the next push or when this page opens."
          }
        />
        <div class="pair">
          <Button icon="bell" onTap={() => void sent("/alerts/test", {}, onDone)}>
            Try it
          </Button>
          <Button icon="close" onTap={() => void stop(onDone)}>
            No more
          </Button>
        </div>
      </>
    );
  }
  return (
    <>
      <StatusLine able={false} what="Nothing is pushed to this device." next="Needs internet here and at the server." />
      <Button icon="bell" onTap={() => void begin(onDone)}>
        Push to this device
      </Button>
    </>
  );
}

function CalendarStatus({
  armed,
  address,
  onAddress,
  onDone,
}: {
  armed: AlertChannels;
  address: string;
  onAddress: (path: string) => void;
  onDone: Done;
}) {
  const fetched = armed.calendar?.fetched_ms;
  return (
    <>
      <StatusLine
        able={Boolean(fetched)}
        what={armed.calendar ? "A calendar can follow the clocks." : "No calendar follows the clocks."}
        next={
          fetched
            ? `It asked last at ${clockTime(fetched, now.value)}.`
            : "Give your calendar a private address to follow."
        }
      />
      {address && (
        <p class="address">
          Subscribe to this address in your calendar; it is shown this once: <code>{address}</code>
        </p>
      )}
      <div class="pair">
        <Button icon="clock" onTap={() => void feed(onAddress, onDone)}>
          {armed.calendar ? "A new address" : "Make an address"}
        </Button>
        {armed.calendar && (
          <Button icon="close" onTap={() => void sent("/alerts/calendar", undefined, onDone, "DELETE")}>
            No more
          </Button>
        )}
      </div>
    </>
  );
}

async function sent(path: string, body: unknown, onDone: Done, method?: "DELETE"): Promise<void> {
  onDone(problemOf(await askServer<null>(path, { body, ...(method && { method }) })));
}

/** Why it was not done; null when it was. */
function problemOf(reply: Reply<unknown>): Explanation | null {
  return reply.kind === "ok" ? null : reply.problem;
}

/** Asks the person, then the browser, then has the server push to this device. */
async function begin(onDone: Done): Promise<void> {
  if ((await askPermission()) !== "granted") {
    onDone({
      what: "Notifications are not allowed here.",
      next_step: "Allow them in the browser's settings.",
      findings: [],
    });
    return;
  }
  const key = await askServer<PushKey>("/alerts/key");
  if (key.kind !== "ok") return onDone(key.problem);
  try {
    const subscription = await subscribe(key.value.key);
    onDone(problemOf(await askServer<null>("/alerts/subscription", { method: "PUT", body: subscription })));
  } catch (error) {
    const what = error instanceof Error ? error.message : "The browser refused.";
    onDone({ what, next_step: "Look whether this device has internet, then try again.", findings: [] });
  }
}

async function stop(onDone: Done): Promise<void> {
  await unsubscribe().catch(() => undefined);
  await sent("/alerts/subscription", undefined, onDone, "DELETE");
}

async function feed(onAddress: (path: string) => void, onDone: Done): Promise<void> {
  const reply = await askServer<FeedAddress>("/alerts/calendar", { method: "PUT", body: {} });
  if (reply.kind === "ok") onAddress(reply.value.path);
  else onDone(reply.problem);
}
