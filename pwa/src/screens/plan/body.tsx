import type { Block } from "./days.ts";

type BodyProps = {
  readonly block: Block;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
};

/** A job's outline, torn where it was, or will be, left at closing time. */
export function JobBody({ block, x, y, width, height }: BodyProps) {
  const look = `job-body ${block.step.act}`;
  const goesBack = block.from > block.step.start;
  if (!goesBack && !block.goesOn) return <rect class={look} x={x} y={y} width={width} height={height} rx="5" />;
  const top = goesBack ? torn(width) : `h${width}`;
  const bottom = block.goesOn ? torn(-width) : `h${-width}`;
  return <path class={look} d={`M${x} ${y}${top}v${height}${bottom}z`} />;
}

const TOOTH = 6;

/** A ragged line, to the right or, with less than nothing, to the left. */
function torn(width: number): string {
  const teeth = Math.max(1, Math.floor(Math.abs(width) / (2 * TOOTH)));
  const step = width / (2 * teeth);
  return `l${step} ${-TOOTH}l${step} ${TOOTH}`.repeat(teeth);
}
