/** The inverse of the standard normal distribution. */

/** Numerator and denominator of a rational function, each the highest power first. */
type Rational = readonly [above: readonly number[], below: readonly number[]];

/** Probabilities no further from a half go by MIDDLE, all others by OUTER. */
const MIDDLE_PART = 0.425;

const MIDDLE: Rational = [
  [
    2509.0809287301227, 33430.57558358813, 67265.7709270087, 45921.95393154987, 13731.69376550946, 1971.5909503065513,
    133.14166789178438, 3.3871328727963665,
  ],
  [
    5226.495278852854, 28729.085735721943, 39307.89580009271, 21213.794301586597, 5394.196021424751, 687.1870074920579,
    42.31333070160091, 1,
  ],
];

const OUTER: Rational = [
  [
    0.0007745450142783414, 0.022723844989269184, 0.2417807251774506, 1.2704582524523684, 3.6478483247632045,
    5.769497221460691, 4.630337846156546, 1.4234371107496835,
  ],
  [
    1.0507500716444169e-9, 0.0005475938084995345, 0.015198666563616457, 0.14810397642748008, 0.6897673349851,
    1.6763848301838038, 2.053191626637759, 1,
  ],
];

/**
 * The value below which a standard normal one lies with probability `p`, which is 1e-10 or more away from 0 and 1.
 *
 * Algorithm AS 241, PPND16 (Wichura 1988), in the order of operations of Python's `statistics.NormalDist.inv_cdf`.
 */
export function inverseNormal(p: number): number {
  const q = p - 0.5;
  if (Math.abs(q) <= MIDDLE_PART) {
    const r = 0.180625 - q * q;
    const [above, below] = MIDDLE;
    return (polynomial(above, r) * q) / polynomial(below, r);
  }
  const r = Math.sqrt(-Math.log(q <= 0 ? p : 1 - p)) - 1.6;
  const [above, below] = OUTER;
  const x = polynomial(above, r) / polynomial(below, r);
  return q < 0 ? -x : x;
}

function polynomial(factors: readonly number[], r: number): number {
  let value = 0;
  for (const factor of factors) value = value * r + factor;
  return value;
}
