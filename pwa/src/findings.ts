/** Something cannot be done as asked. what: why, in a sentence. next_step: what to do instead. */
export class Refused extends Error {
  readonly what: string;
  readonly next_step: string;

  constructor(what: string, nextStep: string) {
    super(`${what} ${nextStep}`);
    this.name = new.target.name;
    this.what = what;
    this.next_step = nextStep;
  }
}
