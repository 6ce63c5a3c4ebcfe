import { Way } from "../../controls/button.tsx";
import { clockTime } from "../../controls/moments.ts";
import { now } from "../../live.ts";
import { Asked } from "../asked.tsx";

type Device = { readonly id: string; readonly name: string; readonly last_seen_ms?: number | null };

/** Which phones and tablets the server knows. */
export function Devices() {
  return (
    <section class="block">
      <h2>Devices</h2>
      <Asked<readonly Device[]> path="/devices">
        {(devices) => (
          <ul class="rows">
            {devices.map((device) => (
              <li key={device.id} class="row">
                <p class="row-words">
                  <span>
                    {device.name}
                    {device.last_seen_ms != null && (
                      <small>last here {clockTime(device.last_seen_ms, now.value)}</small>
                    )}
                  </span>
                </p>
              </li>
            ))}
          </ul>
        )}
      </Asked>
      <Way to="/pair" class="button plain" icon="plus">
        <span>Pair this device</span>
      </Way>
    </section>
  );
}
