/** Our own line drawings, 24 × 24, in the colour of the text beside them. Words always stand beside an icon. */

const DRAWINGS = {
  bench: "M3 9h18v3H3zM5 12v8M19 12v8M5 16h14M9 9V5h6v4",
  scan: "M4 8V4h4M16 4h4v4M20 16v4h-4M8 20H4v-4M8 8h3v3H8zM13 13h3v3h-3zM13 8h3M8 13v3",
  builds: "M7 3v18M17 12v9M7 4h2l8 8M7 14h10M7 21h0",
  shop: "M3 21V10l9-6 9 6v11M3 21h18M9 21v-7h6v7",
  back: "M15 4l-8 8 8 8",
  onward: "M9 4l8 8-8 8",
  bell: "M4 18h16M6 18c0-8 1-12 6-12s6 4 6 12M12 6V3M9 21h6",
  clock: "M12 3a9 9 0 1 0 0 18a9 9 0 1 0 0-18M12 7v5l4 3",
  clamp: "M5 3v18M5 5h11M5 19h11M16 3v4M16 17v4M12 9h6M12 15h6M15 9v-2M15 15v2",
  glue: "M9 9h6l2 4v8H7v-8zM10 9l1-4h2l1 4M12 5V2",
  coat: "M4 4h14v5H4zM18 6h2v5h-9v3M9 14h4v7H9z",
  done: "M4 4h16v16H4zM8 12l3 3 5-6",
  check: "M5 13l5 5L20 6",
  ready: "M12 4a8 8 0 1 0 0 16a8 8 0 1 0 0-16",
  "in-hand": "M12 4a8 8 0 1 0 0 16a8 8 0 1 0 0-16M12 8v8M8 12h8",
  waiting: "M7 3h10M7 21h10M8 3c0 5 3 6 4 9c-1 3-4 4-4 9M16 3c0 5-3 6-4 9c1 3 4 4 4 9",
  spoiled: "M5 5l14 14M19 5L5 19",
  empty: "M4 4h16v16H4z",
  warn: "M12 3L2 20h20zM12 9v5M12 17v0.5",
  rule: "M3 8h18v8H3zM7 8v4M11 8v3M15 8v4M19 8v3",
  note: "M5 3h10l4 4v14H5zM8 10h8M8 14h8M8 18h5",
  photo: "M3 7h4l2-3h6l2 3h4v13H3zM12 9.5a3.5 3.5 0 1 0 0 7a3.5 3.5 0 1 0 0-7",
  pictures: "M7 3h14v14H7zM3 7v14h14M8 16l4-5 3 3 2-2 4 4",
  undo: "M8 5L4 9l4 4M4 9h10a6 6 0 0 1 0 12h-3",
  set: "M4 7h8M16 7h4M14 5v4M4 17h3M11 17h9M9 15v4M4 12h12M20 12h0M18 10v4",
  sync: "M4 11a8 8 0 0 1 14-4l2 2M20 4v5h-5M20 13a8 8 0 0 1-14 4l-2-2M4 20v-5h5",
  away: "M3 3l18 18M8 6a8 8 0 0 1 12 7M17 18H7a4 4 0 0 1-1-8",
  plus: "M12 4v16M4 12h16",
  print: "M7 8V3h10v5M5 8h14v9h-3M5 8v9h3M8 14h8v7H8z",
  label: "M3 7h11l7 5-7 5H3zM7 12h0.5",
  thermometer: "M10 14V5a2 2 0 0 1 4 0v9a4 4 0 1 1-4 0M12 9v8",
  wall: "M3 4h18v12H3zM12 16v4M8 20h8",
  close: "M6 6l12 12M18 6L6 18",
} as const;

/** The name of a drawing. */
export type IconName = keyof typeof DRAWINGS;

/** A drawing that says nothing a word beside it does not say too. */
export function Icon({ name, large = false }: { name: IconName; large?: boolean }) {
  const size = large ? 32 : 24;
  return (
    <svg
      class="icon"
      viewBox="0 0 24 24"
      width={size}
      height={size}
      fill="none"
      stroke="currentColor"
      stroke-width="2"
      stroke-linecap="round"
      stroke-linejoin="round"
      aria-hidden="true"
      focusable="false"
    >
      <path d={DRAWINGS[name]} />
    </svg>
  );
}
