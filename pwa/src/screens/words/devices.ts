/** Who recorded something. */
import { signal } from "@preact/signals";
import { askServer, deviceId } from "../../live/session.ts";
import type { Devices } from "../../wire.gen.ts";

const SERVER = "0".repeat(16);

/** Names by device, as far as the server has told them since the page was opened. */
const names = signal<Readonly<Record<string, string>>>({});

/** Asks for the devices' names; without the server they stay what they are. */
export async function learnNames(): Promise<void> {
  const reply = await askServer<Devices>("/devices");
  if (reply.kind !== "ok") return;
  names.value = Object.fromEntries(reply.value.devices.map(({ id, name }) => [id, name]));
}

/** A device's name; where none is known, the end of its id. */
export function who(device: string): string {
  if (device === deviceId()) return "this device";
  return device === SERVER ? "the server" : names.value[device] || `device ${device.slice(-4)}`;
}
