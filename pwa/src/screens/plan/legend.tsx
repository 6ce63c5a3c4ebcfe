import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";

/** What the strokes, the dots and the jaws of a drawn day mean. */
export function Legend() {
  const marks = useId();
  return (
    <dl class="day-key">
      <Sample words="setting up">
        <Patterns id={marks} />
        <rect class="use setting" x="1" y="1" width="22" height="18" fill={`url(#${marks}-setting)`} />
      </Sample>
      <Sample words="work at the station">
        <rect class="use work" x="1" y="1" width="22" height="18" />
      </Sample>
      <Sample words="runs by itself">
        <Patterns id={`${marks}2`} />
        <rect class="use run" x="1" y="1" width="22" height="18" fill={`url(#${marks}2-run)`} />
      </Sample>
      <Sample words="clamps out, how many">
        <g class="clamps-out">
          <line x1="12" x2="12" y1="1" y2="19" />
          <rect x="1" y="1" width="22" height="5" rx="1" />
          <rect x="1" y="14" width="22" height="5" rx="1" />
        </g>
      </Sample>
    </dl>
  );
}

function Sample({ words, children }: { words: string; children: ComponentChildren }) {
  return (
    <div>
      <dt>
        <svg width="24" height="20" viewBox="0 0 24 20" aria-hidden="true" focusable="false">
          {children}
        </svg>
      </dt>
      <dd>{words}</dd>
    </div>
  );
}

/** Patterns that mark setting up, work and an unattended run without colour: strokes, plain, dots. */
export function Patterns({ id }: { id: string }) {
  return (
    <defs>
      <pattern id={`${id}-setting`} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <line class="pattern-stroke" x1="0" x2="0" y1="0" y2="7" />
      </pattern>
      <pattern id={`${id}-run`} width="6" height="6" patternUnits="userSpaceOnUse">
        <circle class="pattern-dot" cx="1.5" cy="1.5" r="1.2" />
        <circle class="pattern-dot" cx="4.5" cy="4.5" r="1.2" />
      </pattern>
    </defs>
  );
}
