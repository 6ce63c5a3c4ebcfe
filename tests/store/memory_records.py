"""`Records` in plain lists and dicts, without photos: written from `store/records.py` alone, to test what it says."""

from contextlib import suppress
from hashlib import sha256
from itertools import count

import msgspec
from benchbell.bench.book import Book
from benchbell.bench.encoding import read_envelope
from benchbell.bench.happenings import KINDS, SERVER, Happening, Stamp, Started
from benchbell.findings import Refused
from benchbell.recipe.label_code import BITS, new_code, normalized
from benchbell.store.envelopes import check_amounts, claimed_ms, new_id, readable, with_envelopes
from benchbell.store.errors import BuildExists, Gap, Misnumbered, TwoPhonesOneName
from benchbell.store.record_types import Device, Entry, Exchange, Feed, LogSlice, Paired, ScrubbedEntries
from msgspec import Raw
from msgspec.structs import replace

TEN_MINUTES, SIXTY_DAYS = 600_000, 60 * 86_400_000
MOST_QUARANTINED = 20_000_000


class MemoryLog:
    """log: (device, n, id, build, kind, body) by position, the first at 1. early: the same of what waits.

    redated: ids of what waited and was recorded again.
    """

    def __init__(self):
        self.log, self.early, self.redated, self.reading, self.epochs = [], [], set(), None, 0

    def numbers(self, device):
        return {row[1]: row[2] for row in self.log + self.early if row[0] == device}

    async def take(self, device, batch, latest_ms=2**63 - 1):
        sent = with_envelopes(batch)
        known, ids, new = self.numbers(device), {row[2] for row in self.log}, []
        highest = before = max(known, default=0)
        for h, body in sent:
            if h.n > highest + 1:
                what = f"Device {device} sent number {h.n}, but {highest + 1} is not here yet."
                raise Gap(what, f"Send again from {before + 1}.", before)
            if known.get(h.n, h.id) != h.id or (h.n not in known and h.id in ids):
                next_step = f"Fetch what is here, drop what is known, number the rest from {before + 1} and send it."
                raise TwoPhonesOneName("A number or an id stands for two different happenings.", next_step, before)
            if h.n not in known:
                known[h.n], highest = h.id, h.n
                ids.add(h.id)
                new.append((device, h.n, h.id, h.build, h.what.kind, bytes(body)))
        for row in new:
            (self.early if claimed_ms(read_envelope(row[5])) > latest_ms else self.log).append(row)
        return max((h.n for h, _ in sent), default=before)

    def waiting(self):
        return [row for row in self.early if row[2] not in self.redated]

    async def exchange(self, device, batch, after, log_epoch, latest_ms=2**63 - 1, confirmed=0):
        check_amounts(with_envelopes(batch))
        taken_to = await self.take(device, batch, latest_ms)
        if log_epoch == await self.log_epoch() and (after > len(self.log) or confirmed > taken_to):
            self.epochs = 1
        position = after if log_epoch in ("", await self.log_epoch()) and after <= len(self.log) else 0
        brought = {h.n for h, _ in with_envelopes(batch)}
        lacked = self.slice(position, 1000, lambda row: row[0] != device or row[1] not in brought)
        early = tuple(row[2] for row in self.waiting() if row[0] == device)
        return Exchange(taken_to, lacked, await self.log_epoch(), early)

    async def slice_after(self, position, limit, kinds=None, most_bytes=4_000_000):
        return self.slice(position, limit, lambda row: kinds is None or row[4] in kinds, most_bytes)

    def slice(self, position, limit, wanted, most_bytes=4_000_000):
        """Looks at one row after the other until there are enough, or enough bytes."""
        bodies, size = [], 0
        for row in self.log[position : position + limit]:
            if size >= most_bytes:
                break
            position, size = position + 1, size + len(row[5])
            bodies += [row[5]] if wanted(row) else []
        return LogSlice(Raw(b"[" + b",".join(bodies) + b"]"), position, len(self.log))

    async def newest_position(self):
        return len(self.log)

    async def log_epoch(self):
        return f"{self.epochs:016x}"

    async def happenings_of(self, build, kinds=None):
        return [readable(row[5]) for row in self.log if row[3] == build and (kinds is None or row[4] in kinds)]

    async def record(self, entries):
        last = [read_envelope(row[5]) for row in self.log if row[0] == SERVER][-1:]
        made = []
        for entry in entries:
            n = last[0].n + 1 if last else 1
            at = max([(entry.when.ms, 0), *((h.at.ms, h.at.counter + 1) for h in last)])
            made.append(Happening(entry.id, n, Stamp(*at, SERVER), entry.build, entry.about, entry.what, entry.when))
            last = made[-1:]
        await self.take(SERVER, [msgspec.json.encode(h) for h in made])
        return made

    async def last_recorded_ms(self):
        own = [readable(row[5]) for row in self.log if row[0] == SERVER]
        return own[-1].when.ms if own else None

    async def clock_reading(self):
        return self.reading

    async def keep_clock_reading(self, reading, entry=None):
        if entry:
            await self.record([entry])
            self.move_moments(entry.what.by_ms)
        self.reading = reading


class MemoryBuilds(MemoryLog):
    def used_codes(self):
        said = [msgspec.json.decode(row[5])["what"] for row in self.log if row[4] in ("started", "remade")]
        return {code for what in said for code in (what.get("code"), *dict(what.get("codes", {})).values())}

    async def start_build(self, build, name, sheet, recipe, when, random_bytes, followed_by=()):
        for h in await self.happenings_of(build, ["started"]):
            if (h.what.sheet.asked_for, h.what.name) != (sheet.asked_for, name):
                raise BuildExists(f"Build {build} is {h.what.name}.", "Start the other with a new id.")
            return h.what
        drawn = (new_code(int.from_bytes(random_bytes(8)) % 2**BITS) for _ in count())
        used, codes = self.used_codes(), {}
        for one in (*sheet.parts, *sheet.assemblies):
            codes[one.id] = next(code for code in drawn if code not in used)
            used.add(codes[one.id])
        what = Started(name, sheet, recipe, codes)
        await self.record([Entry(build, when, build, (), what), *followed_by])
        return what

    async def started_builds(self):
        return [row[2] for row in self.log if row[4] == "started"]

    async def recorded_builds(self):
        return sorted({row[3] for row in self.log} - {""})

    async def build_named(self, name):
        started = {build: await self.happenings_of(build, ["started"]) for build in await self.started_builds()}
        found = [build for build, (first, *_) in started.items() if name in (build, first.what.name)]
        if not found:
            raise Refused(f"There is no build “{name}”.", "See which there are.")
        return found[-1]


class MemoryDevices(MemoryLog):
    def __init__(self):
        super().__init__()
        self.codes, self.devices, self.tokens, self.requests = {}, {}, {}, {}

    async def new_pairing_code(self, now_ms, random_bytes):
        code = new_code(int.from_bytes(random_bytes(8)) % 2**BITS)
        self.codes[code] = now_ms + TEN_MINUTES
        return code

    async def open_pairing_codes(self, now_ms):
        return [sha256(code.encode()).hexdigest() for code, until in self.codes.items() if until >= now_ms]

    async def pair(self, code, name, now_ms, random_bytes):
        until = self.codes.get(normalized(code), -1)
        if until < now_ms:
            return None
        del self.codes[normalized(code)]
        return await self.add_device(name, now_ms, random_bytes)

    async def add_device(self, name, now_ms, random_bytes):
        taken = {one.name for one in self.devices.values() if one.revoked_ms is None}
        free = next(each for n in count(1) if (each := name if n == 1 else f"{name} {n}") not in taken)
        device = Device(random_bytes(8).hex(), free, now_ms, now_ms, None)
        token = random_bytes(32).hex()
        self.devices[device.id], self.tokens[token] = device, device.id
        return Paired(device, token)

    async def device_with_token(self, token):
        return self.devices.get(self.tokens.get(token))

    async def all_devices(self):
        return sorted(self.devices.values(), key=lambda one: (one.paired_ms, one.id))

    async def device_names(self):
        return {SERVER: "the server"} | {one.id: one.name for one in self.devices.values()}

    async def note_seen(self, device, now_ms):
        one = self.devices[device]
        self.devices[device] = replace(one, seen_ms=max(one.seen_ms, now_ms))

    def named(self, name):
        found = [one for one in self.devices.values() if name in (one.id, one.name)]
        if not found:
            raise Refused(f"There is no device “{name}”.", "See their names with benchbell devices.")
        return min(found, key=lambda one: (one.revoked_ms is not None, -one.paired_ms))

    async def revoke(self, name, now_ms):
        one = self.named(name)
        self.devices[one.id] = replace(one, revoked_ms=now_ms if one.revoked_ms is None else one.revoked_ms)
        return self.devices[one.id]

    def in_use(self, device):
        return device not in self.devices or self.devices[device].revoked_ms is None

    async def keep_in_quarantine(self, device, request, now_ms):
        kept = self.requests.setdefault(device, [])
        if request not in kept:
            entries = sum(len(self.entries_in(one)) for one in (*kept, request))
            if sum(map(len, kept)) + len(request) > MOST_QUARANTINED or entries > 5000:
                return False
            kept.append(request)
        return True

    async def quarantined_from(self, name):
        return self.quarantined(self.named(name).id)

    def entries_in(self, request):
        whole = msgspec.json.decode(request, type=dict[str, Raw])
        return [bytes(raw) for raw in msgspec.json.decode(whole["happenings"], type=list[Raw])]

    def quarantined(self, device):
        ids = {row[2] for row in self.log}
        bodies = [body for one in self.requests.get(device, ()) for body in self.entries_in(one)]
        return [body for body in dict.fromkeys(bodies) if self.id_in(body) not in ids]

    def id_in(self, body):
        try:
            return with_envelopes([body])[0][0].id
        except Refused:
            return ""

    async def devices_with_quarantined(self):
        return [(one, len(self.quarantined(one.id))) for one in await self.all_devices()]

    async def accept_quarantined(self, name):
        device = self.named(name).id
        before, bodies = len(self.log), self.quarantined(device)
        if not bodies:
            raise Refused("Nothing of this device is kept aside.", "See what is with benchbell devices.")
        readable_ones = [body for body in bodies if self.id_in(body)]
        for body in sorted(readable_ones, key=lambda body: read_envelope(body).n):
            with suppress(Misnumbered):
                await self.take(device, [body])
        if before == len(self.log):
            what = "Its numbers do not continue." if readable_ones else f"None of {len(bodies)} entries can be read."
            raise Refused(what, "Pair the device again.")
        left = set(self.quarantined(device))
        self.requests[device] = [one for one in self.requests[device] if left & set(self.entries_in(one))]
        return len(self.log) - before

    async def discard_quarantined(self, name):
        device = self.named(name).id
        discarded = len(self.quarantined(device))
        self.requests[device] = []
        return discarded


class MemoryDeliveries(MemoryDevices):
    def __init__(self):
        super().__init__()
        self.pushes, self.reached = {}, {}

    async def keep_subscription(self, new):
        others = {device: one for device, one in self.pushes.items() if one.endpoint != new.endpoint}
        old = self.pushes.get(new.device)
        kept = new if old is None else replace(new, since_ms=old.since_ms, good_ms=old.good_ms)
        self.pushes = others | {new.device: kept}

    async def drop_subscription(self, device, endpoint=None):
        if device in self.pushes and endpoint in (None, self.pushes[device].endpoint):
            del self.pushes[device]

    async def subscriptions(self):
        return [self.pushes[device] for device in sorted(self.pushes) if self.in_use(device)]

    async def note_delivered(self, device, keys, now_ms):
        for key in keys:
            self.reached.setdefault((device, key), now_ms)
        if device in self.pushes:
            self.pushes[device] = replace(self.pushes[device], good_ms=now_ms, trouble="")

    async def note_not_delivered(self, device, trouble):
        if device in self.pushes:
            self.pushes[device] = replace(self.pushes[device], trouble=trouble)

    async def delivered(self):
        return {device: {key for one, key in self.reached if one == device} for device, _ in self.reached}

    async def forget_delivered(self, ringing, now_ms):
        still, oldest = set(ringing), now_ms - SIXTY_DAYS
        self.reached = {(device, key): ms for (device, key), ms in self.reached.items() if ms >= oldest or key in still}


class MemoryCalendars(MemoryDevices):
    def __init__(self):
        super().__init__()
        self.feeds, self.entries = {}, {}

    async def new_feed(self, device, now_ms, random_bytes):
        token = random_bytes(32).hex()
        self.feeds[device] = (token, Feed(device, now_ms, None))
        return token

    async def drop_feed(self, device):
        self.feeds.pop(device, None)

    async def feed_of(self, device):
        return self.feeds.get(device, (None, None))[1]

    async def feed_with(self, token):
        return next((feed for known, feed in self.feeds.values() if known == token and self.in_use(feed.device)), None)

    async def note_feed_fetched(self, device, now_ms):
        token, feed = self.feeds[device]
        self.feeds[device] = (token, replace(feed, fetched_ms=now_ms))

    async def calendar_entries(self):
        return dict(self.entries)

    async def keep_calendar_entries(self, changed, outdated):
        self.entries |= changed
        for uid in outdated:
            self.entries.pop(uid, None)


class MemoryEarly(MemoryLog):
    async def early_counts(self):
        counts = {}
        for row in self.waiting():
            many, latest = counts.get(row[0], (0, 0))
            counts[row[0]] = (many + 1, max(latest, claimed_ms(read_envelope(row[5]))))
        return counts

    async def admit_early(self, latest_ms):
        coming = sorted((claimed_ms(read_envelope(row[5])), row) for row in self.waiting())
        coming = [row for ms, row in coming if ms <= latest_ms]
        self.log += coming
        self.early = [row for row in self.early if row not in coming]
        return len(coming)

    async def redate(self, now, latest_ms, random_bytes):
        waiting = [row[5] for row in self.waiting()]
        harmless = ("started", "undone")
        logged = [row[5] for row in self.log if claimed_ms(read_envelope(row[5])) > latest_ms]
        logged = [body for body in logged if read_envelope(body).what.kind not in harmless]
        found = sorted(map(read_envelope, waiting + logged), key=lambda h: (h.build, h.at, h.id))
        bodies, many = {read_envelope(one).id: one for one in waiting + logged}, 0
        for h in found:
            everything = [*(row[5] for row in self.log), *waiting]
            if Book(one for one in map(readable, everything) if one.build == h.build).counts(readable(bodies[h.id])):
                said = msgspec.json.decode(bodies[h.id])
                when = h.when if h.when is not None and h.when.ms <= latest_ms else now
                if h.what.kind != "conditions":
                    again = {"id": new_id(now.ms, random_bytes), "when": when}
                    await self.append(said | again, now.ms, h.at.device)
                if h.what.kind not in harmless:
                    undoing = {"what": {"kind": "undone", "happening": h.id}, "when": now}
                    await self.append({**said, "id": new_id(now.ms, random_bytes), **undoing}, now.ms, SERVER)
                many += 1
        self.redated |= {row[2] for row in self.early}
        return many

    async def append(self, said, now_ms, device):
        last = max(((read_envelope(row[5]).at, row[1]) for row in self.log if row[0] == SERVER), default=None)
        ms, counter = max((now_ms, 0), (last[0].ms, last[0].counter + 1) if last else (0, 0))
        ms, counter = (ms, counter) if counter < 65536 else (ms + 1, 0)
        n = last[1] + 1 if last else 1
        await self.take(SERVER, [msgspec.json.encode({**said, "n": n, "at": Stamp(ms, counter, device)})])

    async def newest_server_time(self):
        return max((one.seen_ms for one in self.devices.values()), default=0)


class MemoryIntegrity(MemoryLog):
    """In memory nothing rots."""

    async def damaged_entries(self):
        return ()

    async def scrub_entries(self, after, limit, latest_ms):
        rows = self.log[after : after + limit]
        envelopes = [read_envelope(row[5]) for row in rows]
        harmless = ("started", "undone")
        ahead = tuple((h.id, h.build) for h in envelopes if claimed_ms(h) > latest_ms and h.what.kind not in harmless)
        redated = tuple(readable(row[5]).what.happening for row in rows if row[4] == "undone")
        unreadable = tuple(row[3] for row in rows if row[4] in KINDS and readable(row[5]).what is None)
        position = after + limit if len(rows) == limit else 0
        return ScrubbedEntries(position, len(rows), ahead=ahead, redated=redated, unreadable=unreadable)

    async def restore_entries(self, batch):
        with_envelopes(batch)
        return 0

    async def scrub_file(self):
        return ""


class MemoryRecords(MemoryBuilds, MemoryDeliveries, MemoryCalendars, MemoryEarly, MemoryIntegrity):
    """Its finished cache never has anything, which the protocol allows: a start then reads every build."""

    def move_moments(self, by):
        def moved(one, *names):
            kept = {name: getattr(one, name) for name in names}
            return replace(one, **{name: ms + by for name, ms in kept.items() if ms is not None})

        self.codes = {code: until + by for code, until in self.codes.items()}
        self.devices = {id: moved(one, "paired_ms", "seen_ms", "revoked_ms") for id, one in self.devices.items()}
        self.pushes = {id: moved(one, "since_ms", "good_ms") for id, one in self.pushes.items()}
        feeds = self.feeds.items()
        self.feeds = {id: (token, moved(feed, "since_ms", "fetched_ms")) for id, (token, feed) in feeds}

    async def unfinished_builds(self, code):
        return await self.recorded_builds()

    async def affected_builds(self, came):
        return []

    async def cache_finished(self, found, read_to, code):
        pass

    async def close(self):
        pass
