import { expect, test } from "vitest";
import { keepRecorded } from "../../pwa/src/store/outbox.ts";
import { Sender, type SyncView, withWaiting } from "../../pwa/src/store/sender.ts";
import { type Ask, Phone } from "./phone.ts";
import { AWAY, refused, Server } from "./server.ts";

/** A sender whose waits are written down and ended by hand. */
async function sending(ask: Ask, chance = 0) {
  const phone = await Phone.fresh(ask);
  const views: SyncView[] = [];
  const waits: { ms: number; work: () => void; isOver: boolean }[] = [];
  const world = {
    random: () => chance,
    after: (ms: number, work: () => void) => {
      const wait = { ms, work, isOver: false };
      waits.push(wait);
      return () => {
        wait.isOver = true;
      };
    },
  };
  const sender = new Sender(phone.db, phone, world, (view) => views.push(view));
  const states = () => views.map(({ state }) => state);
  const settled = async () => {
    const before = waits.length;
    while (waits.length === before) await new Promise((resolve) => setTimeout(resolve, 1));
    return waits.at(-1) as (typeof waits)[number];
  };
  return { phone, sender, views, waits, states, settled };
}

test("all sent is said, and the server asked again after a minute", async () => {
  const server = new Server();
  const { phone, sender, states, settled, views } = await sending((body, device) => server.sync(body, device));
  await phone.record({ kind: "noted", text: "a" } as never);
  sender.syncNow();

  expect((await settled()).ms).toBe(60_000);
  expect(states()).toEqual(["sending", "synced"]);
  expect(views.at(-1)?.waiting).toBe(0);
});

test("a server that is away is asked again after waits that double up to a minute", async () => {
  const { sender, settled, states } = await sending(() => AWAY, 1);
  sender.syncNow();
  const waits: number[] = [];
  for (let n = 0; n < 8; n++) {
    const wait = await settled();
    waits.push(wait.ms);
    wait.work();
  }

  expect(waits).toEqual([1000, 2000, 4000, 8000, 16_000, 32_000, 60_000, 60_000]);
  expect(states()).toContain("away");
});

test("chance shortens a wait to half at most, so that phones do not all come at once", async () => {
  const { sender, settled } = await sending(() => AWAY, 0);
  sender.syncNow();

  expect((await settled()).ms).toBe(500);
});

test("what waits, and since when, is told while the server is away", async () => {
  const { phone, sender, settled, views } = await sending(() => AWAY);
  const { at } = await phone.record({ kind: "noted", text: "a" } as never);
  await phone.record({ kind: "noted", text: "b" } as never);
  sender.syncNow();
  await settled();

  expect(views.at(-1)).toEqual({
    waiting: 2,
    since: at.ms,
    state: "away",
    sentence: "The server is away. Everything is kept on this phone.",
  });
});

test("a poke while it sends makes it look once more, and at once", async () => {
  const server = new Server();
  let onTheWay = async () => {};
  const { phone, sender, settled, waits } = await sending(async (body, device) => {
    const answer = server.sync(body, device);
    await onTheWay(); // when it has looked already for the last time
    return answer;
  });
  onTheWay = async () => {
    onTheWay = async () => {};
    sender.syncNow();
  };
  sender.syncNow();
  await settled();

  expect(phone.asked).toHaveLength(2);
  expect(waits).toHaveLength(1);
});

test("a sender that is stopped on the way asks for no more of what there is", async () => {
  const server = new Server();
  server.answers = 1;
  let onTheWay = () => {};
  const { phone, sender, views } = await sending((body, device) => {
    onTheWay();
    return server.sync(body, device);
  });
  for (const text of ["a", "b", "c"]) await phone.record({ kind: "noted", text } as never);
  const other = await Phone.open("other", (body, device) => server.sync(body, device));
  for (const text of ["d", "e"]) await other.record({ kind: "noted", text } as never);
  await other.syncAll();
  onTheWay = () => sender.stop();
  sender.syncNow();
  while (views.at(-1)?.state !== "synced") await new Promise((resolve) => setTimeout(resolve, 1));

  expect(phone.asked).toHaveLength(1);
});

test("nothing is called synced while it is to look once more", async () => {
  const server = new Server();
  const { sender, settled, states } = await sending((body, device) => {
    if (states().length === 1) sender.syncNow();
    return server.sync(body, device);
  });
  sender.syncNow();
  await settled();

  expect(states()).toEqual(["sending", "sending", "sending", "synced"]);
});

test("a poke ends a wait", async () => {
  const { sender, settled, waits } = await sending(() => AWAY);
  sender.syncNow();
  const wait = await settled();
  sender.syncNow();

  expect(wait.isOver).toBe(true);
  await settled();
  expect(waits).toHaveLength(2);
});

test.each([
  ["not-paired", "unpaired"],
  ["revoked", "unpaired"],
  ["page-too-old", "page too old"],
  ["server-too-old", "server too old"],
  ["disk-full", "refused"],
] as const)("a refusal for %s is told as %s, with its sentence, and nothing is dropped", async (kind, state) => {
  const { phone, sender, settled, views } = await sending(() => refused(kind));
  await phone.record({ kind: "noted", text: "a" } as never);
  sender.syncNow();
  await settled();

  expect(views.at(-1)).toMatchObject({ state, sentence: `${kind}. Try again.`, waiting: 1 });
});

test("a phone with no room for what comes says so", async () => {
  const server = new Server();
  const { sender, settled, states, phone } = await sending((body, device) => server.sync(body, device));
  phone.fold = () => Promise.reject(new DOMException("no room", "QuotaExceededError"));
  sender.syncNow();
  await settled();

  expect(states().at(-1)).toBe("phone full");
});

test("a store that fails is told, and tried again", async () => {
  const { sender, settled, views, phone } = await sending(() => AWAY);
  await phone.record({ kind: "noted", text: "a" } as never);
  sender.syncNow();
  await settled();
  phone.db.close();
  sender.syncNow();
  await settled();

  expect(views.at(-1)).toMatchObject({ state: "refused", waiting: 1 });
  expect(views.at(-1)?.sentence).toMatch(/^This phone's store failed .* Reload the page\.$/);
  await expect(keepRecorded(phone.db, [], [])).rejects.toThrow();
});

test("nothing is called synced while something waits", () => {
  const view: SyncView = { waiting: 1, since: 5, state: "synced", sentence: "All is with the server." };

  expect(withWaiting(view, [])).toEqual({ waiting: 1, since: 5, state: "sending", sentence: "Asking the server." });
  expect(withWaiting({ ...view, waiting: 0 }, [])).toMatchObject({ waiting: 0, state: "synced" });
  expect(withWaiting({ ...view, state: "away" }, [])).toMatchObject({ waiting: 1, state: "away" });
});

test("a stopped sender starts nothing more", async () => {
  const { sender, phone } = await sending(() => AWAY);
  sender.stop();
  sender.syncNow();
  await new Promise((resolve) => setTimeout(resolve, 5));

  expect(phone.asked).toEqual([]);
});

test("a garbled answer is called that, and asked for again", async () => {
  const garbled = {
    kind: "garbled",
    problem: { what: "The server's answer is garbled.", next_step: "Look." },
  } as const;
  const { sender, settled, views } = await sending(() => garbled, 1);
  sender.syncNow();

  expect((await settled()).ms).toBe(1000);
  expect(views.at(-1)).toMatchObject({ state: "garbled", sentence: "The server's answer is garbled. Look." });
});

test("what else there is to know of the server's records is told with all that is sent", async () => {
  const server = new Server();
  server.damaged = [{ id: "0190-x", build: "b" }];
  const { sender, settled, views } = await sending((body, device) => server.sync(body, device));
  sender.syncNow();
  await settled();

  expect(views.at(-1)).toMatchObject({ state: "synced", note: "1 entry is damaged at the server. Look under Shop." });
});
