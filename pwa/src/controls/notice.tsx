import "./notice.css";
import type { ComponentChildren } from "preact";
import { Icon, type IconName } from "./icon.tsx";

type NoticeProps = {
  readonly what: string;
  readonly next?: string;
  readonly icon?: IconName;
  readonly grave?: boolean;
  readonly children?: ComponentChildren;
};

/** One thing to know: what it is, what to do about it, and perhaps a way there. */
export function Notice({ what, next, icon = "warn", grave = false, children }: NoticeProps) {
  return (
    <section class={grave ? "notice grave" : "notice"}>
      <Icon name={icon} />
      <div>
        <p>
          <strong>{what}</strong>
        </p>
        {next && <p>{next}</p>}
        {children}
      </div>
    </section>
  );
}
