import { afterEach, expect, test, vi } from "vitest";
import { ask, listen, TIMEOUT_MS } from "../../pwa/src/store/server_client.ts";

/** What was asked, and how long an answer may take: the signal ends when the test says so. */
type Asked = { readonly path: string; readonly request: RequestInit; readonly timeouts: readonly number[] };

/** A server that answers with `answer`, or never. */
function serverThat(answer: () => Response | "never"): Asked[] {
  const asked: Asked[] = [];
  const timeouts: number[] = [];
  vi.spyOn(AbortSignal, "timeout").mockImplementation((ms) => {
    timeouts.push(ms);
    return AbortSignal.abort(new DOMException("The time is up.", "TimeoutError"));
  });
  vi.stubGlobal("fetch", (path: string, request: RequestInit) => {
    asked.push({ path, request, timeouts });
    const said = answer();
    if (said !== "never") return Promise.resolve(said);
    return new Promise((_, reject) => {
      const { signal } = request;
      if (signal?.aborted) reject(signal.reason);
    });
  });
  return asked;
}

const json =
  (value: unknown, status = 200) =>
  () =>
    new Response(JSON.stringify(value), { status });
const problem = { kind: "gap", what: "Number 7 is missing.", next_step: "Send again from 7." };

afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

test("a server that never answers is away once the time is up", async () => {
  const asked = serverThat(() => "never");

  expect(await ask("a1", "/devices")).toEqual({
    kind: "away",
    problem: {
      what: "The server does not answer.",
      next_step: "Look whether it runs and this device is on the shop's network, then try again.",
    },
  });
  expect(asked[0]?.timeouts).toEqual([TIMEOUT_MS.usual]);
});

test("an answer that stops in the middle is garbled", async () => {
  serverThat(() => new Response('{"devices": [', { status: 200 }));

  expect(await ask("a1", "/devices")).toMatchObject({ kind: "garbled", problem: { what: expect.any(String) } });
});

test("a question says who asks, and is a GET", async () => {
  const asked = serverThat(json({ devices: [] }));

  expect(await ask("a1", "/devices")).toEqual({ kind: "ok", value: { devices: [] } });
  expect(asked[0]?.path).toBe("/devices");
  expect(asked[0]?.request).toMatchObject({ method: "GET", headers: { Device: "a1" } });
});

test("what is sent goes as JSON in a POST, or by the method that is named", async () => {
  const asked = serverThat(json({}));
  await ask("a1", "/builds", { body: { pieces: 2 } });
  await ask("a1", "/alerts/calendar", { body: {}, method: "PUT" });

  expect(asked.map(({ request }) => request.method)).toEqual(["POST", "PUT"]);
  expect(asked[0]?.request).toMatchObject({
    headers: { Device: "a1", "Content-Type": "application/json" },
    body: '{"pieces":2}',
  });
});

test("a photo goes as it is, with its own type and more time", async () => {
  const asked = serverThat(() => new Response(null, { status: 204 }));
  const picture = new Blob(["x"], { type: "image/jpeg" });
  const question = { method: "PUT", body: picture, timeoutMs: TIMEOUT_MS.photo } as const;

  expect(await ask("a1", "/photos/ab", question)).toEqual({ kind: "ok", value: null });
  expect(asked[0]?.request).toMatchObject({ headers: { Device: "a1", "Content-Type": "image/jpeg" }, body: picture });
  expect(asked[0]?.timeouts).toEqual([120_000]);
});

test("a refusal comes with the server's reason", async () => {
  serverThat(json({ error: problem }, 409));

  expect(await ask("a1", "/sync", { body: {} })).toEqual({ kind: "refused", problem });
});

test.each([
  [200, "<!doctype html>"],
  [502, "<!doctype html>"],
  [404, '{"detail": "nothing here"}'],
  [409, '{"error": "no words"}'],
])("something else that answers %i is called garbled, and not that the server is away", async (status, text) => {
  serverThat(() => new Response(text, { status }));

  expect(await ask("a1", "/sync", { body: {} })).toMatchObject({
    kind: "garbled",
    problem: {
      what: "The server's answer is garbled.",
      next_step: "Load the page again; if that does not help, look under Shop and into the server's log.",
    },
  });
});

test("what is known here already is not sent again", async () => {
  const asked = serverThat(() => new Response(null, { status: 304 }));
  const read = async ({ status }: Response) => status;

  expect(await ask("a1", "/plan", { etag: '"one"', read })).toEqual({ kind: "ok", value: 304 });
  expect(asked[0]?.request.headers).toMatchObject({ "If-None-Match": '"one"' });
});

/** A stream of nudges that the test ends, as the HTML standard has it: CLOSED means that the browser has given up. */
class Stream extends EventTarget {
  static all: Stream[] = [];
  static readonly CLOSED = 2;
  readyState = 1;
  constructor() {
    super();
    Stream.all.push(this);
  }
  close(): void {
    this.readyState = Stream.CLOSED;
  }
  fail(readyState: number): void {
    this.readyState = readyState;
    this.dispatchEvent(new Event("error"));
  }
}

/** Listens to such a stream, with timers of the test's own. */
function listening(): () => void {
  Stream.all = [];
  vi.useFakeTimers();
  vi.stubGlobal("EventSource", Stream);
  return listen({ onNudge: () => {}, onAlarms: () => {}, onBreak: () => {} });
}

test("a stream that the browser gave up is opened again a minute later, one that it mends itself is not", () => {
  listening();
  Stream.all[0]?.fail(0);
  vi.advanceTimersByTime(60_000);

  expect(Stream.all).toHaveLength(1);

  Stream.all[0]?.fail(Stream.CLOSED);
  vi.advanceTimersByTime(59_999);

  expect(Stream.all).toHaveLength(1);

  vi.advanceTimersByTime(1);

  expect(Stream.all).toHaveLength(2);
  vi.useRealTimers();
});

test("who has hung up does not listen again", () => {
  const hangUp = listening();
  Stream.all[0]?.fail(Stream.CLOSED);
  hangUp();
  vi.advanceTimersByTime(120_000);

  expect(Stream.all).toHaveLength(1);
  vi.useRealTimers();
});

test("a connection that breaks within the answer is no garbled answer", async () => {
  serverThat(() => {
    const broken = new ReadableStream({ pull: (to) => to.error(new TypeError("network error")) });
    return new Response(broken, { status: 200 });
  });

  expect(await ask("a1", "/devices")).toMatchObject({ kind: "away" });
});
