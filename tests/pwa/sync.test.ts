import { expect, test, vi } from "vitest";
import { putMeta, readMeta, write } from "../../pwa/src/store/database.ts";
import { keepTaken, markSent, readUnsent } from "../../pwa/src/store/photos.ts";
import { Garbled } from "../../pwa/src/store/server_client.ts";
import { readAnswer } from "../../pwa/src/store/sync.ts";
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

test("from a server whose disk is full a phone still fetches what others told, and what it has waits", async () => {
  const { server, phone } = await pair();
  for (const text of ["a", "b", "c"]) await phone.record(note(text));
  await phone.syncAll();
  server.answers = 2;
  const full = await Phone.fresh((body, device) =>
    body.happenings.length > 0 ? refused("disk-full") : server.sync(body, device),
  );
  const { id } = await full.record(note("waits"));

  expect(await full.sync()).toEqual({ kind: "refused", problem: problem("disk-full") });
  expect((await full.waiting()).map((raw) => raw.id)).toEqual([id]);
  expect(new Set(await full.ids())).toEqual(new Set([...server.ids, id]));
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

test("where an earlier state of the server's disk was put back, every phone gets what came since, and gives back what it has", async () => {
  const { server, phone: reader } = await pair();
  const writer = await Phone.open("other", (body, device) => server.sync(body, device));
  await writer.record(note("kept"));
  await writer.syncAll();
  const early = [...server.rows];
  for (const text of ["lost", "lost too"]) await writer.record(note(text));
  await writer.syncAll();
  await reader.syncAll();
  server.putBack(early);
  const third = await Phone.open("third", (body, device) => server.sync(body, device));
  for (const text of ["new", "newer", "newest"]) await third.record(note(text));
  await third.syncAll();
  await writer.syncAll();
  for (const phone of [reader, third]) await phone.syncAll();

  expect(server.ids).toHaveLength(6);
  for (const phone of [reader, writer, third]) expect([...(await phone.ids())].sort()).toEqual([...server.ids].sort());
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
    if (body.after === 0 && body.happenings.length === 0 && !recorded) {
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

const FAR = 4_102_444_800_000;

test("a stamp from 2100 that the server has is taken in and drags this phone's stamps nowhere", async () => {
  const { server, phone } = await pair();
  const at = { ms: FAR, counter: 0, device: "f".repeat(16) };
  const raw = { id: "0190-far", n: 1, at, build: "b", about: [], what: note("far") };
  server.rows.push({ device: "f".repeat(16), n: 1, raw });
  await phone.record(note("own"));
  await phone.syncAll();

  expect(await phone.ids()).toContain("0190-far");
  expect((await readMeta(phone.db, (bytes) => bytes)).stamp?.ms).toBeLessThan(server.time);
});

test("a phone whose kept stamp is from 2100 is well again after one answer", async () => {
  const { phone } = await pair();
  await write(phone.db, "strict", (tx) => putMeta(tx, { stamp: { ms: FAR, counter: 7, device: phone.device } }));
  await phone.sync();

  expect((await readMeta(phone.db, (bytes) => bytes)).stamp).toBeNull();
});

test("what the server keeps waiting leaves the outbox, and the line says so", async () => {
  const { server, phone } = await pair();
  server.time = 1_000_000_000_000;
  await phone.record(note("ahead of a server that is years behind"));

  expect(await phone.sync()).toEqual({
    kind: "done",
    more: false,
    note: "1 thing waits at the server: the time is far ahead of its clock. Look under Shop.",
  });
  expect(await phone.waiting()).toEqual([]);
});

test("an entry that is damaged at the server is sent again, once, by a phone that has it", async () => {
  const { server, phone } = await pair();
  const mine = await phone.record(note("mine"));
  await phone.syncAll();
  server.damaged = [
    { id: mine.id, build: "b" },
    { id: "0190-gone", build: "b" },
  ];
  const outcomes = [await phone.sync(), await phone.sync()];

  expect(server.healed).toEqual([mine]);
  expect(outcomes.map((one) => one.kind === "done" && one.note)).toEqual(
    Array(2).fill("2 entries are damaged at the server. Look under Shop."),
  );
});

test("a reading of the air that is damaged at the server is found on its own shelf", async () => {
  const { server, phone } = await pair();
  const air = await phone.record({ kind: "conditions", celsius: 19 } as never, "");
  await phone.syncAll();
  server.damaged = [{ id: air.id, build: "" }];
  await phone.sync();

  expect(server.healed).toEqual([air]);
});

test("a photo that is damaged at the server waits to be sent again", async () => {
  const { server, phone } = await pair();
  const { sha256 } = await keepTaken(phone.db, new Uint8Array([1, 2, 3]), "image/jpeg", 1);
  await markSent(phone.db, sha256);
  server.damagedPhotos = [sha256, "0".repeat(64)];
  await phone.sync();

  expect((await readUnsent(phone.db)).map((photo) => photo.sha256)).toEqual([sha256]);
});

test.each([
  ["no happenings", { happenings: null }],
  ["a happening without a stamp", { happenings: [{ id: "a", build: "b", about: [], what: note("x") }] }],
  ["a happening that is nothing", { happenings: [null] }],
  ["no position", { position: "4" }],
  ["no epoch", { log_epoch: 3 }],
])("an answer with %s is garbled, and nothing of it is kept", async (_, wrong) => {
  const { server, phone } = await pair();
  const good = server.sync({ page: 2, log_epoch: "", after: 0, happenings: [] }, phone.device);
  const value = { ...(good.kind === "ok" && good.value), ...wrong };
  const answer = readAnswer(new Response(JSON.stringify(value)));

  await expect(answer).rejects.toBeInstanceOf(Garbled);
});

test("a garbled answer takes nothing from the phone and is called that", async () => {
  const garbled = { kind: "garbled", problem: { what: "Garbled.", next_step: "Look." } } as const;
  const phone = await Phone.fresh(() => garbled);
  await phone.record(note("kept"));

  expect(await phone.sync()).toEqual(garbled);
  expect(await phone.waiting()).toHaveLength(1);
});
