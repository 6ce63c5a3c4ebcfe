import { useSignal } from "@preact/signals";
import { Button, Link } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { Icon } from "../../controls/icon.tsx";
import { Notice } from "../../controls/notice.tsx";
import { askServer } from "../../live/session.ts";
import { now } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import type { Explanation } from "../../store/server_client.ts";
import type { DeviceLine, Devices, PairingCode } from "../../wire.gen.ts";
import { Fetched } from "../fetched.tsx";

/** Which phones and tablets the server knows, and a code for one more. */
export function DeviceList() {
  const asked = useSignal(false);
  return (
    <section class="block">
      <h2>Devices</h2>
      <Fetched<Devices> path="/devices">
        {({ devices }) => (
          <ul class="rows">
            {devices.length === 0 && <li>None is paired: this server is for this machine alone.</li>}
            {devices.map((device) => (
              <DeviceRow key={device.id} device={device} />
            ))}
          </ul>
        )}
      </Fetched>
      <div class="pair">
        <Button
          icon="plus"
          onTap={() => {
            asked.value = true;
          }}
        >
          Add a device
        </Button>
        <Link to="/pair" class="button plain" icon="label">
          <span>Pair this one</span>
        </Link>
      </div>
      {asked.value && (
        <Dialog
          title="Add a device"
          onClose={() => {
            asked.value = false;
          }}
        >
          <Fetched<PairingCode> path="/devices/code" sent={{}}>
            {(code) => <PairingSquare code={code} />}
          </Fetched>
        </Dialog>
      )}
    </section>
  );
}

function DeviceRow({ device }: { device: DeviceLine }) {
  const gone = useSignal(device.revoked_ms !== null);
  const refusal = useSignal<Explanation | null>(null);
  const revoke = async () => {
    const reply = await askServer<unknown>(`/devices/${device.id}/revoke`, { body: {} });
    if (reply.kind === "ok") gone.value = true;
    else refusal.value = reply.problem;
  };
  return (
    <li class="row">
      <p class="row-words">
        <Icon name={gone.value ? "spoiled" : "done"} />
        <span>
          {device.name || `Device ${device.id.slice(-4)}`}
          <small>
            {device.this && "This one. "}
            {gone.value ? "Not welcome any more." : `Last here ${clockTime(device.seen_ms, now.value)}.`}
            {device.aside > 0 && ` ${device.aside} things it sent are kept aside.`}
          </small>
          {refusal.value && <Notice what={refusal.value.what} next={refusal.value.next_step} grave />}
        </span>
      </p>
      {!gone.value && !device.this && (
        <button type="button" class="button grave narrow" onClick={() => void revoke()}>
          Revoke
        </button>
      )}
    </li>
  );
}

/** Light modules around a square (ISO/IEC 18004, quiet zone). */
const QUIET = 4;

/** The one-time code: its square for the other device's camera, and its letters for the thumb. */
function PairingSquare({ code }: { code: PairingCode }) {
  const size = code.rows.length + 2 * QUIET;
  return (
    <div class="stack square">
      <p>Open this on the other device: scan the square, or type the code there under Shop, Pair.</p>
      <svg viewBox={`0 0 ${size} ${size}`} role="img" aria-label={`Square that holds ${code.address}`}>
        <rect width={size} height={size} fill="#fff" />
        <path d={modules(code.rows)} fill="#000" />
      </svg>
      <p class="code">{code.code}</p>
      <p>Good for one device, until {clockTime(code.until_ms, now.value)}.</p>
    </div>
  );
}

/** One little square a dark module. */
function modules(rows: readonly string[]): string {
  return rows
    .flatMap((row, y) => [...row].map((module, x) => (module === "1" ? `M${x + QUIET} ${y + QUIET}h1v1h-1z` : "")))
    .join("");
}
