import "./button.css";
import type { ComponentChildren } from "preact";
import { travel } from "../live/navigation.ts";
import { Icon, type IconName } from "./icon.tsx";

type ButtonProps = {
  readonly children: ComponentChildren;
  readonly icon?: IconName;
  readonly onTap: () => void;
  readonly kind?: "main" | "plain" | "grave";
  readonly pressed?: boolean;
  readonly submit?: boolean;
};

/** A button of a thumb's size. main: the one thing to do here. grave: loses something, so it asks first. */
export function Button({ children, icon, onTap, kind = "plain", pressed }: ButtonProps) {
  return (
    <button type="button" class={`button ${kind}`} onClick={onTap} aria-pressed={pressed}>
      {icon && <Icon name={icon} />}
      <span>{children}</span>
    </button>
  );
}

/** The button that sends a form off. */
export function Submit({
  children,
  kind = "main",
}: {
  children: ComponentChildren;
  kind?: "main" | "plain" | "grave";
}) {
  return (
    <button type="submit" class={`button ${kind}`}>
      <span>{children}</span>
    </button>
  );
}

type LinkProps = {
  readonly to: string;
  readonly children: ComponentChildren;
  readonly class?: string;
  readonly icon?: IconName;
  readonly current?: boolean;
};

/** A link to another place in the page. */
export function Link({ to, children, class: look = "way", icon, current = false }: LinkProps) {
  return (
    <a href={to} class={look} aria-current={current ? "page" : undefined} onClick={(event) => follow(event, to)}>
      {icon && <Icon name={icon} />}
      {children}
    </a>
  );
}

/** Goes there without loading the page again, unless the person asked for another tab. */
function follow(event: MouseEvent, to: string): void {
  if (event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
  event.preventDefault();
  travel(to);
}
