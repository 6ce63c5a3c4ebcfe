/** Small symmetric positive definite matrices, as lists of rows, each up to its diagonal. */

/** A row for each place, up to its diagonal. */
export type LowerTriangle = readonly (readonly number[])[];

/** Stands for a variance that rounding made nothing of. */
const TINY = 1e-12;

/** The lower triangle L for which L times its transpose is the matrix (Cholesky). */
export function rootOf(matrix: LowerTriangle): LowerTriangle {
  const root: number[][] = [];
  for (const [i, row] of matrix.entries()) {
    const lower: number[] = [];
    for (const [k, before] of root.entries()) {
      lower.push(((row[k] as number) - dot(lower, before)) / (before[k] as number));
    }
    lower.push(Math.sqrt(Math.max(0, (row[i] as number) - dot(lower, lower)) || TINY));
    root.push(lower);
  }
  return root;
}

/** The sum of products, as far as the shorter one goes; rounded at each step, as in Python. */
export function dot(a: readonly number[], b: readonly number[]): number {
  let total = 0;
  for (let n = 0; n < a.length && n < b.length; n++) total += (a[n] as number) * (b[n] as number);
  return total;
}
