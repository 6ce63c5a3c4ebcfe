/** Who recorded something. */
import { signal } from "@preact/signals";
import { deviceId } from "../../live/session.ts";
import type { Devices } from "../../wire.gen.ts";
import { ask } from "../server.ts";

const SERVER = "0".repeat(16);

/** Names by device, as far as the server has told them since the page was opened. */
const names = signal<Readonly<Record<string, string>>>({});

/** Asks for the devices' names; without the server they stay what they are. */
export async function learnNames(): Promise<void> {
  const answer = await ask<Devices>("/devices");
  if (!answer.ok) return;
  names.value = Object.fromEntries(answer.value.devices.map(({ id, name }) => [id, name]));
}

/** A device's name; where none is known, the end of its id. */
export function who(device: string): string {
  if (device === deviceId()) return "this device";
  return device === SERVER ? "the server" : names.value[device] || `device ${device.slice(-4)}`;
}
