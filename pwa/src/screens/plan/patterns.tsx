/** What tells setting up, work and an unattended run apart without colour: strokes, plain, dots. */
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
