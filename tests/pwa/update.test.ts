import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { watchVersions } from "../../pwa/src/phone/update.ts";

/** A worker on its way, as browsers show it. */
class Coming extends EventTarget {
  become(): void {
    this.dispatchEvent(new Event("statechange"));
  }
}

class Registration extends EventTarget {
  installing: Coming | null = null;
  waiting: Coming | null = null;
  active: object | null = null;
}

class Container extends EventTarget {
  controller: object | null = null;
  readonly registration = new Registration();
  register = async () => this.registration;
}

let workers: Container;
let ready: number;

beforeEach(() => {
  workers = new Container();
  ready = 0;
  vi.stubGlobal("navigator", { serviceWorker: workers });
  vi.useFakeTimers();
});

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

/** A worker begins to be installed. */
function found(): Coming {
  const coming = new Coming();
  workers.registration.installing = coming;
  workers.registration.dispatchEvent(new Event("updatefound"));
  return coming;
}

const watch = () => watchVersions(() => void ready++);

test("the first worker of all is no newer page, even where it is in charge while it waits", async () => {
  await watch();
  const first = found();
  workers.registration.waiting = first;
  workers.controller = first;
  first.become();
  [workers.registration.waiting, workers.registration.active] = [null, first];
  first.become();
  workers.dispatchEvent(new Event("controllerchange"));
  first.become();

  expect(ready).toBe(0);
});

test("a worker that waits beside the one in charge is a newer page", async () => {
  workers.controller = workers.registration.active = {};
  await watch();
  const newer = found();
  newer.become();
  expect(ready).toBe(0);
  workers.registration.waiting = newer;
  newer.become();

  expect(ready).toBe(1);
});

test("so is one that waited before the page was opened", async () => {
  workers.controller = workers.registration.active = {};
  workers.registration.waiting = new Coming();
  await watch();

  expect(ready).toBe(1);
});
