import { expect, test, vi } from "vitest";
import { putMeta, readMeta, write } from "../../pwa/src/store/database.ts";
import { Phone } from "./phone.ts";
import { AWAY, problem, refused, Server } from "./server.ts";

const note = (text: string) => ({ kind: "noted", text });

async function pair(): Promise<{ server: Server; phone: Phone }> {
  const server = new Server();
  return { server, phone: await Phone.fresh((body, device) => server.sync(body, device)) };
}

test("what was recorded goes, and leaves the outbox once the server has it", async () => {
  const { server, phone } = await pair();
  const { id } = await phone.record(note("first"));

  expect(await phone.sync()).toEqual({ kind: "done", more: false });
  expect(server.ids).toEqual([id]);
  expect(await phone.waiting()).toEqual([]);
});

test("numbers have no gap", async () => {
  const { phone } = await pair();
  for (const text of ["a", "b", "c"]) await phone.record(note(text));

  expect((await phone.waiting()).map(({ n }) => n)).toEqual([1, 2, 3]);
});

test("a server that is away takes nothing from the phone", async () => {
  const phone = await Phone.fresh(() => AWAY);
  await phone.record(note("kept"));

  expect(await phone.sync()).toEqual({ kind: "away" });
  expect(await phone.waiting()).toHaveLength(1);
});

test("a lost answer costs a repeat and nothing else", async () => {
  const server = new Server();
  let isLost = true;
  const phone = await Phone.fresh((body, device) => {
    const reply = server.sync(body, device);
    return isLost ? AWAY : reply;
  });
  const { id } = await phone.record(note("once"));
  await phone.sync();
  isLost = false;
  await phone.syncAll();

  expect(server.ids).toEqual([id]);
  expect(await phone.waiting()).toEqual([]);
});

test("a refusal keeps everything and hands the reason on", async () => {
  const phone = await Phone.fresh(() => refused("page-too-old"));
  await phone.record(note("kept"));

  expect(await phone.sync()).toEqual({ kind: "refused", problem: problem("page-too-old") });
  expect(await phone.waiting()).toHaveLength(1);
});

test("what others recorded comes in pieces, and the phone asks only for what it lacks", async () => {
  const { server, phone } = await pair();
  server.answers = 2;
  const other = await Phone.open("other", (body, device) => server.sync(body, device));
  for (const text of ["a", "b", "c"]) await other.record(note(text));
  await other.syncAll();
  await phone.syncAll();

  expect(await phone.ids()).toEqual(await other.ids());
  expect(phone.asked.map(({ after }) => after)).toEqual([0, 2]);
});

test("a batch holds at most five hundred", async () => {
  const { server, phone } = await pair();
  for (let n = 0; n < 501; n++) await phone.record(note(String(n)));
  await phone.syncAll();

  expect(phone.asked.map(({ happenings }) => happenings.length)).toEqual([500, 1]);
  expect(server.ids).toHaveLength(501);
});

test("a batch stays under the server's size", async () => {
  const { server, phone } = await pair();
  for (const text of ["a", "b", "c"]) await phone.record(note(text.repeat(1_000_000)));
  await phone.syncAll();

  expect(phone.asked.map(({ happenings }) => happenings.length)).toEqual([1, 1, 1]);
  expect(server.ids).toHaveLength(3);
});

test("one that is larger than a batch goes alone, and holds up no other", async () => {
  const { server, phone } = await pair();
  await phone.record(note("a".repeat(1_600_000)));
  await phone.record(note("b"));
  await phone.sync();
  await phone.sync();

  expect(phone.asked.map(({ happenings }) => happenings.length)).toEqual([1, 1]);
  expect(server.ids).toHaveLength(2);
});

test("what is sent again after a restore goes in the order in which it was recorded", async () => {
  const { server, phone } = await pair();
  const first = await phone.record(note("first"), "z");
  const second = await phone.record(note("second"), "a");
  await phone.syncAll();
  server.restore([]);
  await phone.syncAll();

  expect(server.ids).toEqual([first.id, second.id]);
});

test("what came is stored to the letter, kinds from a newer page too", async () => {
  const { server, phone } = await pair();
  const other = await Phone.open("other", (body, device) => server.sync(body, device));
  const sent = await other.record({ kind: "sharpened", edge: { degrees: 25 } } as never);
  await other.syncAll();
  await phone.syncAll();

  expect(await phone.db.getAll("happenings")).toEqual([sent]);
});

test("a server restored from a backup gets back what it lost, from whatever phone has it", async () => {
  const { server, phone } = await pair();
  const other = await Phone.open("other", (body, device) => server.sync(body, device));
  await phone.record(note("in the backup"));
  await phone.syncAll();
  const backup = [...server.rows];
  await phone.record(note("lost, ours"));
  await phone.syncAll();
  await other.record(note("lost, another's"));
  await other.syncAll();
  await phone.syncAll();
  server.restore(backup);
  await phone.syncAll();

  expect([...server.ids].sort()).toEqual([...(await phone.ids())].sort());
  expect(server.ids).toHaveLength(3);
});

test("another's entry that a restored server lost goes back, though it lost nothing of this phone's", async () => {
  const { server, phone } = await pair();
  const other = await Phone.open("other", (body, device) => server.sync(body, device));
  await phone.record(note("in the backup"));
  await phone.syncAll();
  const backup = [...server.rows];
  const { id } = await other.record(note("lost, another's"));
  await other.syncAll();
  await phone.syncAll();
  server.restore(backup);
  await phone.syncAll();

  expect(server.ids).toContain(id);
  expect(server.ids).toHaveLength(2);
});

test("a phone paired anew goes on under its new name, and doubles nothing", async () => {
  const server = new Server();
  let name = "aaaaaaaaaaaaaaaa";
  const phone = await Phone.fresh((body) => server.sync(body, name));
  await phone.record(note("before"));
  await phone.syncAll();
  name = "bbbbbbbbbbbbbbbb";
  await phone.record(note("after"));
  await phone.syncAll();

  expect(server.rows.map(({ device, n }) => [device, n])).toEqual([
    ["aaaaaaaaaaaaaaaa", 1],
    ["bbbbbbbbbbbbbbbb", 1],
  ]);
});

test("a phone restored from its own backup numbers on from what the server has", async () => {
  const { server, phone } = await pair();
  await phone.record(note("known to both"));
  await phone.syncAll();
  await phone.record(note("known to the server alone"));
  await phone.syncAll();
  await write(phone.db, "strict", (tx) => putMeta(tx, { n: 1, taken_to: 1, after: 1 }));
  await phone.record(note("recorded after the restore"));
  await phone.syncAll();

  expect(server.rows.map(({ n }) => n)).toEqual([1, 2, 3]);
  expect([...(await phone.ids())].sort()).toEqual([...server.ids].sort());
});

test("mending that is cut short begins again", async () => {
  const server = new Server();
  server.answers = 2;
  let cutAfter = Number.POSITIVE_INFINITY;
  const phone = await Phone.fresh((body, device) => (cutAfter-- > 0 ? server.sync(body, device) : AWAY));
  for (const text of ["a", "b", "c", "d", "e"]) await phone.record(note(text));
  await phone.syncAll();
  server.restore(server.rows.slice(0, 3));
  cutAfter = 2;

  expect(await phone.syncAll()).toEqual({ kind: "away" });

  cutAfter = Number.POSITIVE_INFINITY;
  await phone.syncAll();

  expect(server.ids).toHaveLength(5);
  expect(await phone.waiting()).toEqual([]);
});

test("a server whose files were put back without its knowing is noticed by what it has of ours", async () => {
  const { server, phone } = await pair();
  for (const text of ["a", "b"]) await phone.record(note(text));
  await phone.syncAll();
  server.rows = server.rows.slice(0, 1);
  await phone.syncAll();

  expect(server.ids).toHaveLength(2);
});

test("a server restored while a phone mends gets everything all the same", async () => {
  const server = new Server();
  server.answers = 2;
  let asks = 0;
  const phone = await Phone.fresh((body, device) => {
    asks += 1;
    if (asks === 100) server.restore([]);
    return server.sync(body, device);
  });
  for (const text of ["a", "b", "c", "d", "e"]) await phone.record(note(text));
  await phone.syncAll();
  server.restore(server.rows.slice(0, 4));
  asks = 97;
  await phone.syncAll();

  expect(server.ids).toHaveLength(5);
});

test("what is recorded while it mends is sent too", async () => {
  const server = new Server();
  let phone: Phone;
  let recorded = false;
  phone = await Phone.fresh(async (body, device) => {
    if (body.log_epoch === "" && body.happenings.length === 0 && !recorded) {
      recorded = true;
      await phone.record(note("meanwhile"));
    }
    return server.sync(body, device);
  });
  recorded = true;
  await phone.record(note("a"));
  await phone.syncAll();
  server.restore([]);
  recorded = false;
  await phone.syncAll();

  expect(server.ids).toHaveLength(2);
});

test("what came and could not be written down does not count as taken", async () => {
  const { server, phone } = await pair();
  const other = await Phone.open("other", (body, device) => server.sync(body, device));
  await other.record(note("a"));
  await other.syncAll();
  const real = phone.db.transaction.bind(phone.db);
  let writes = 0;
  const full = vi.spyOn(phone.db, "transaction").mockImplementation(((...given: Parameters<typeof real>) => {
    if (given[1] === "readwrite" && ++writes > 1) throw new DOMException("no room", "QuotaExceededError");
    return real(...given);
  }) as never);

  await expect(phone.sync()).rejects.toThrow("no room");

  full.mockRestore();

  expect((await readMeta(phone.db, (bytes) => bytes)).after).toBe(0);
});

test("stamps that came are remembered, so that what is recorded next stands after them", async () => {
  const { server, phone } = await pair();
  const other = await Phone.open("other", (body, device) => server.sync(body, device));
  const { at } = await other.record(note("a"));
  await other.syncAll();
  await phone.syncAll();

  expect((await readMeta(phone.db, (bytes) => bytes)).stamp).toEqual(at);
});

test("what a restored phone records while it asks is sent, though the server knows higher numbers", async () => {
  const server = new Server();
  let onTheWay: (() => Promise<unknown>) | null = null;
  const phone = await Phone.fresh(async (body, device) => {
    const recording = onTheWay;
    onTheWay = null;
    await recording?.();
    return server.sync(body, device);
  });
  await phone.record(note("known to both"));
  await phone.record(note("known to the server alone"));
  await phone.syncAll();
  await write(phone.db, "strict", (tx) => putMeta(tx, { n: 1, taken_to: 1, after: 1 }));
  onTheWay = () => phone.record(note("recorded on the way"));
  await phone.syncAll();
  await phone.syncAll();

  expect(server.ids).toHaveLength(3);
  expect(server.rows.map(({ n }) => n)).toEqual([1, 2, 3]);
  expect(await phone.waiting()).toEqual([]);
});
