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
import { PairingSquare } from "./square.tsx";

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
