import { Icon } from "../../controls/icon.tsx";

type StatusProps = { readonly able: boolean; readonly what: string; readonly next?: string | undefined };

/** Whether this device can do something, and what to do where it cannot. */
export function StatusLine({ able, what, next }: StatusProps) {
  return (
    <p class="row-words">
      <Icon name={able ? "done" : "warn"} />
      <span>
        {what}
        {next && <small>{next}</small>}
      </span>
    </p>
  );
}
