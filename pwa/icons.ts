import { crc32, deflateSync } from "node:zlib";
import type { Plugin } from "vite";

/** Our own drawing, a bell on a bench, on a grid of 64 × 64. A disc ends at `to`, the line y = to, where it has one. */
type Shape =
  | { readonly fill: Colour; readonly x: number; readonly y: number; readonly w: number; readonly h: number }
  | { readonly fill: Colour; readonly cx: number; readonly cy: number; readonly r: number; readonly to?: number };
type Colour = "#211e1a" | "#ff9a55" | "#f2ede3";

const GRID = 64;
const GROUND: Shape = { fill: "#211e1a", x: 0, y: 0, w: GRID, h: GRID };
const BELL: readonly Shape[] = [
  { fill: "#ff9a55", cx: 32, cy: 15, r: 4 },
  { fill: "#ff9a55", cx: 32, cy: 37, r: 18, to: 37 },
  { fill: "#ff9a55", x: 11, y: 39, w: 42, h: 4 },
  { fill: "#f2ede3", x: 7, y: 46, w: 50, h: 6 },
  { fill: "#f2ede3", x: 13, y: 52, w: 5, h: 7 },
  { fill: "#f2ede3", x: 46, y: 52, w: 5, h: 7 },
];

/** A launcher that cuts a circle out keeps four fifths of the picture (W3C Web App Manifest, safe zone). */
const SAFE = 0.8;
const SAMPLES = 4;

/** Draws the page's icons while it is built, so that no picture stands in version control. */
export function icons(): Plugin {
  return {
    name: "icons",
    generateBundle() {
      const files: readonly (readonly [string, string | Buffer])[] = [
        ["icon.svg", svg([GROUND, ...BELL])],
        ["icon-180.png", png([GROUND, ...BELL], 180)],
        ["icon-192.png", png([GROUND, ...BELL], 192)],
        ["icon-512.png", png([GROUND, ...BELL], 512)],
        ["icon-safe-512.png", png([GROUND, ...BELL.map(shrunk)], 512)],
      ];
      for (const [fileName, source] of files) this.emitFile({ type: "asset", fileName, source });
    },
  };
}

function svg(shapes: readonly Shape[]): string {
  const drawn = shapes.map((shape) =>
    "r" in shape
      ? shape.to === undefined
        ? `<circle cx="${shape.cx}" cy="${shape.cy}" r="${shape.r}" fill="${shape.fill}"/>`
        : `<path d="M${shape.cx - shape.r} ${shape.to}a${shape.r} ${shape.r} 0 0 1 ${2 * shape.r} 0z" fill="${shape.fill}"/>`
      : `<rect x="${shape.x}" y="${shape.y}" width="${shape.w}" height="${shape.h}" fill="${shape.fill}"/>`,
  );
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${GRID} ${GRID}">${drawn.join("")}</svg>\n`;
}

function shrunk(shape: Shape): Shape {
  const at = (place: number) => GRID / 2 + (place - GRID / 2) * SAFE;
  if (!("r" in shape)) return { ...shape, x: at(shape.x), y: at(shape.y), w: shape.w * SAFE, h: shape.h * SAFE };
  const half = shape.to === undefined ? {} : { to: at(shape.to) };
  return { ...shape, cx: at(shape.cx), cy: at(shape.cy), r: shape.r * SAFE, ...half };
}

/** Portable Network Graphics (W3C, third edition): 8-bit RGB, no filter. */
function png(shapes: readonly Shape[], size: number): Buffer {
  const rows = Array.from({ length: size }, (_, y) => [0, ...row(shapes, size, y)]);
  const header = Buffer.alloc(13);
  header.writeUInt32BE(size, 0);
  header.writeUInt32BE(size, 4);
  header.set([8, 2, 0, 0, 0], 8);
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk("IHDR", header),
    chunk("IDAT", deflateSync(Buffer.from(rows.flat()), { level: 9 })),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

function chunk(type: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type, "latin1"), data]);
  const framed = Buffer.alloc(body.length + 8);
  framed.writeUInt32BE(data.length, 0);
  body.copy(framed, 4);
  framed.writeUInt32BE(crc32(body), body.length + 4);
  return framed;
}

/** One row of pixels, each the mean of SAMPLES × SAMPLES points in it. */
function row(shapes: readonly Shape[], size: number, y: number): number[] {
  return Array.from({ length: size }, (_, x) => {
    const sum = [0, 0, 0];
    for (let n = 0; n < SAMPLES * SAMPLES; n++) {
      const px = ((x + ((n % SAMPLES) + 0.5) / SAMPLES) * GRID) / size;
      const py = ((y + (Math.floor(n / SAMPLES) + 0.5) / SAMPLES) * GRID) / size;
      const fill = shapes.findLast((shape) => covers(shape, px, py))?.fill ?? GROUND.fill;
      for (const channel of [0, 1, 2])
        sum[channel] = (sum[channel] ?? 0) + Number.parseInt(fill.slice(1 + 2 * channel, 3 + 2 * channel), 16);
    }
    return sum.map((total) => Math.round(total / SAMPLES ** 2));
  }).flat();
}

function covers(shape: Shape, x: number, y: number): boolean {
  if (!("r" in shape)) return x >= shape.x && x < shape.x + shape.w && y >= shape.y && y < shape.y + shape.h;
  return Math.hypot(x - shape.cx, y - shape.cy) < shape.r && y < (shape.to ?? GRID);
}
