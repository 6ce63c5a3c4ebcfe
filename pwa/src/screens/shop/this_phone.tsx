import { useSignal } from "@preact/signals";
import { Button } from "../../controls/button.tsx";
import { lasting } from "../../live/keeping.ts";
import { now, syncing } from "../../live/state.ts";
import type { Lasting } from "../../phone/lasting.ts";
import { askPermission, permission } from "../../phone/notify.ts";
import { canSound } from "../../phone/sound.ts";
import { canKeepAwake, wasRefused } from "../../phone/wake.ts";
import { StatusLine } from "./status_line.tsx";

type Sense = { readonly able: boolean; readonly what: string; readonly next?: string };

/** How this device can ring now, and what is missing for the rest. */
export function ThisPhone() {
  const allowed = useSignal(permission());
  const senses: readonly Sense[] = [sound(), buzz(), notices(allowed.value), awake(), opens(), ...kept()];
  return (
    <section class="block">
      <h2>This device</h2>
      {syncing.value.sentence && <p>{syncing.value.sentence}</p>}
      <ul class="rows">
        {senses.map(({ able, what, next }) => (
          <li key={what} class="row">
            <StatusLine able={able} what={what} next={next} />
          </li>
        ))}
      </ul>
      {allowed.value === "default" && (
        <Button
          icon="bell"
          onTap={() =>
            void askPermission().then((answer) => {
              allowed.value = answer;
            })
          }
        >
          Allow notifications
        </Button>
      )}
    </section>
  );
}

/** Asked again each second: browsers allow sound a moment after the first tap. */
function sound(): Sense {
  return now.value > 0 && canSound()
    ? { able: true, what: "Rings aloud while the page is open." }
    : {
        able: false,
        what: "Silent until it is touched.",
        next: "Tap the page once after opening it; turn the volume up.",
      };
}

function buzz(): Sense {
  return "vibrate" in navigator
    ? { able: true, what: "Buzzes while the page is open." }
    : { able: false, what: "Cannot buzz.", next: "This browser does not let a page do that: rely on sound." };
}

function notices(allowed: NotificationPermission | "missing"): Sense {
  switch (allowed) {
    case "granted":
      return { able: true, what: "Shows a notification when the page is in the background." };
    case "denied":
      return {
        able: false,
        what: "Shows no notification: that was refused.",
        next: "Allow it for this page in the browser's settings.",
      };
    case "default":
      return { able: false, what: "Shows no notification yet.", next: "Tap below and say yes." };
    case "missing":
      return {
        able: false,
        what: "Has no notifications here.",
        next: "Open the page by https and add it to the home screen, then open it from there.",
      };
  }
}

/** Asked again each second: the phone may refuse once its battery is low. */
function awake(): Sense {
  if (now.value > 0 && wasRefused())
    return {
      able: false,
      what: "Could not keep the screen on: the phone refused.",
      next: "Charge it, and switch off its power saving; or set the screen's time-out longer for glue-ups.",
    };
  return canKeepAwake()
    ? { able: true, what: "Keeps the screen on while a short clock runs." }
    : { able: false, what: "Cannot keep the screen on.", next: "Set the screen's time-out longer for glue-ups." };
}

/** Whether what is recorded stays; nothing before the browser has said. */
function kept(): readonly Sense[] {
  return lasting.value ? [KEPT[lasting.value]] : [];
}

const KEPT: Readonly<Record<Lasting, Sense>> = {
  promised: { able: true, what: "Keeps what is recorded until somebody clears it." },
  "not promised": {
    able: false,
    what: "Keeps what is recorded, but the browser may throw it away to make room.",
    next: "Add the page to the home screen. A private window keeps nothing once it is closed.",
  },
  private: {
    able: false,
    what: "Keeps nothing once this private window is closed.",
    next: "Open the page in a usual window.",
  },
};

/** Whether the page opens without a network. */
function opens(): Sense {
  return navigator.serviceWorker?.controller
    ? { able: true, what: "Opens with no network." }
    : {
        able: false,
        what: "Does not open without a network yet.",
        next: "Open it by https, wait until it is loaded, then load it once more.",
      };
}
