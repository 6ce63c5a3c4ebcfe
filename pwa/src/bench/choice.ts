/** An operation that the bench offers, with the reason in a sentence; "" where none would change a maker's mind. */
export type Choice = { readonly build: string; readonly operation: string; readonly reason: string };

/** An operation's name over all builds. */
export function keyOf({ build, operation }: Pick<Choice, "build" | "operation">): string {
  return `${build} ${operation}`;
}
