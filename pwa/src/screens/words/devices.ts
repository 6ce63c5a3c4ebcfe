/** Who recorded something. */

const SERVER = "0".repeat(16);

/** A device by the end of its name, as the list of devices under Shop shows it. */
export function who(device: string): string {
  return device === SERVER ? "the server" : `device ${device.slice(-4)}`;
}
