/** The checksum CRC-32 (polynomial 0xEDB88320), as Python's `zlib.crc32` has it. */

const TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? 0xedb88320 ^ (rest >>> 1) : rest >>> 1;
  return rest >>> 0;
});

const utf8 = new TextEncoder();

/** The checksum of a text in UTF-8: 0 … 2^32 - 1. */
export function crc32(text: string): number {
  let rest = 0xffffffff;
  for (const byte of utf8.encode(text)) rest = (TABLE[(rest ^ byte) & 0xff] as number) ^ (rest >>> 8);
  return ~rest >>> 0;
}
