import "./clock.css";
import { digits } from "../moments.ts";

type FigureProps = { readonly ms: number; readonly large?: boolean; readonly words?: string };

/** What is left, or how long it is over, in figures to be read across the bench. */
export function TimeLeft({ ms, large = false, words = "to go" }: FigureProps) {
  const over = ms < 0;
  const text = digits(Math.abs(ms));
  return (
    <p role="timer" class={large ? "digits large" : "digits"} data-long={text.length > 7 ? "" : undefined}>
      {text}
      <small>{over ? "over" : words}</small>
    </p>
  );
}

/** How far a clock is, along a steel rule. */
export function ClockRule({ from, to, now, words }: { from: number; to: number; now: number; words: string }) {
  return <progress class="rule" max={Math.max(1, to - from)} value={Math.min(now, to) - from} aria-label={words} />;
}
