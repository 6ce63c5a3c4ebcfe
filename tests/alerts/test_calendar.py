"""Clocks as calendar entries, read back by another RFC 5545 library (vobject)."""

from datetime import UTC, datetime, time, timedelta

import msgspec
import pytest
import vobject
from alerts.sample import BUILD, CLAMPED, COATED, GLUE_ON, OFF, book, happenings
from benchbell.alerts.calendar import (
    CANCELLED_FOR_MS,
    PublishedEntry,
    calendar,
    entry_of,
    least_sequence,
    outdated,
    revised,
    uid_of,
    whole_seconds,
)
from benchbell.alerts.quiet import Quiet, read_quiet
from benchbell.alerts.schedule import alarms_of, running_of
from benchbell.alerts.words import plain
from benchbell.bench.book import Book
from benchbell.bench.happenings import Acknowledged, Lengthened, When
from benchbell.durations import DAY_MS, HOUR_MS, MINUTE_MS
from briefs import as_json, entry_told
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec import structs
from scene import NOON
from twins import answer_of, ask_the_page, cases, expected

LATER = NOON + 90 * MINUTE_MS


def entries(book, now=NOON, quiet=None):
    return [entry_of(clock, alarms_of(clock, quiet, now)) for clock in running_of(BUILD, book, (), now)]


def entry(book, kind, now=NOON, quiet=None):
    return next(entry for entry in entries(book, now, quiet) if entry.kind == kind)


def fresh(*entries):
    """Entries kept for the first time, by UID."""
    return {new.entry.uid: new for new in revised({}, entries, NOON)}


def events(kept):
    """The VEVENTs that another library finds in the stream."""
    return list(vobject.readOne(calendar(kept).decode()).vevent_list)


def event(book, kind, **more):
    (found,) = events(fresh(entry(book, kind, **more)).values())
    return found


def at(ms):
    return datetime.fromtimestamp(ms / 1000, UTC)


def test_an_entry_stands_at_the_end_of_the_wait_and_rings_then():
    found = event(book((NOON, CLAMPED)), "in-clamps")

    assert at(NOON + HOUR_MS) == found.dtstart.value
    assert at(NOON + HOUR_MS + 15 * MINUTE_MS) == found.dtend.value
    assert [timedelta(0)] == [alarm.trigger.value for alarm in found.valarm_list]
    assert found.valarm.action.value == "DISPLAY"
    assert "Clamps may come off: Glue the rim, piece A" == found.summary.value == found.valarm.description.value


def test_a_window_lasts_until_its_deadline_and_warns_of_it():
    # Oil: next coat from 12 h to 72 h, warned of an hour before the end.
    found = event(book((NOON, COATED)), "recoat")

    assert (at(NOON + 12 * HOUR_MS), at(NOON + 72 * HOUR_MS)) == (found.dtstart.value, found.dtend.value)
    assert [alarm.trigger.value / timedelta(hours=1) for alarm in found.valarm_list] == [0, 59, 60]


def test_a_mere_deadline_stands_at_its_end_and_rings_before_it():
    # Open time of 10 minutes: half, two minutes, thirty seconds, over.
    found = event(book((NOON, GLUE_ON)), "open")

    assert at(NOON + 10 * MINUTE_MS) == found.dtstart.value
    assert [alarm.trigger.value.total_seconds() for alarm in found.valarm_list] == [-300, -120, -30, 0]


def test_text_tells_what_to_do_in_which_build_and_the_short_cautions():
    text = event(book((NOON, CLAMPED)), "in-clamps").description.value

    assert text.startswith("The usual time in clamps has passed.")
    assert "Tray, for the hall\nTime: from the recipe.\nClamps pinch: ease them off evenly.\n" in text
    assert "Hands off the cutter" not in text
    assert text.endswith("The glue's label, the finish's label and the tool maker's manual come first.")


def test_a_moment_within_a_second_is_rounded_up():
    assert [whole_seconds(ms) for ms in (0, 1, 1000, 1001)] == [0, 1, 1, 2]
    found = event(book((NOON + 1, CLAMPED)), "in-clamps", now=NOON + 1)

    assert at(NOON + HOUR_MS + 1000) == found.dtstart.value


def test_quiet_hours_move_the_alarm_and_not_the_entry():
    found = event(book((NOON, CLAMPED)), "in-clamps", quiet=Quiet(time(12), time(18), "UTC"))

    assert at(NOON + HOUR_MS) == found.dtstart.value
    assert timedelta(hours=5) == found.valarm.trigger.value


def test_what_was_heard_does_not_ring_in_the_calendar():
    heard = Acknowledged("A/glue", f"in-clamps|off|{NOON}")
    found = event(book((NOON, CLAMPED), (NOON + HOUR_MS, heard)), "in-clamps", now=NOON + HOUR_MS)

    assert not hasattr(found, "valarm")


def test_a_changed_clock_keeps_its_uid_and_raises_its_sequence():
    kept = fresh(entry(book((NOON, CLAMPED)), "in-clamps"))
    longer = book((NOON, CLAMPED), (LATER, Lengthened("A/glue", "in-clamps", HOUR_MS)))
    (new,) = revised(kept, [entry(longer, "in-clamps")], LATER)
    (found,) = events([new])

    assert [new.entry.uid] == list(kept)
    assert ("5400", at(NOON + 2 * HOUR_MS)) == (found.sequence.value, found.dtstart.value)
    assert at(LATER) == found.dtstamp.value == found.last_modified.value


def test_a_clock_that_did_not_change_is_not_written_anew():
    kept = fresh(*entries(book((NOON, CLAMPED))))

    assert revised(kept, entries(book((NOON, CLAMPED)), LATER), LATER) == []


def test_a_clock_that_ended_is_cancelled_and_does_not_ring():
    kept = fresh(*entries(book((NOON, CLAMPED))))
    ended = {new.entry.kind: new for new in revised(kept, entries(book((NOON, CLAMPED), (LATER, OFF))), LATER)}
    (found,) = events([ended["in-clamps"]])

    assert {"in-clamps", "squeeze-out"} == set(ended)
    assert (found.status.value, found.sequence.value) == ("CANCELLED", "5400")
    assert not hasattr(found, "valarm")


def test_a_clock_that_runs_again_is_confirmed_again():
    kept = fresh(entry(book((NOON, CLAMPED)), "in-clamps"))
    (gone,) = revised(kept, [], LATER)
    (back,) = revised({gone.entry.uid: gone}, [entry(book((NOON, CLAMPED)), "in-clamps")], LATER + 1)
    (found,) = events([back])

    assert (found.status.value, found.sequence.value) == ("CONFIRMED", "5401")


def test_the_sequence_goes_up_even_when_the_servers_clock_goes_back():
    kept = fresh(entry(book((NOON, CLAMPED)), "in-clamps"))
    (gone,) = revised(kept, [], LATER)
    (back,) = revised({gone.entry.uid: gone}, [entry(book((NOON, CLAMPED)), "in-clamps")], NOON)

    assert (5400, 5401) == (gone.sequence, back.sequence)


def test_an_entry_that_an_older_version_published_is_told_anew_with_the_next_number():
    now = entry(book((NOON, CLAMPED)), "in-clamps")
    old = PublishedEntry(structs.replace(now, started=0), 3, NOON)
    ((new,), (gone,)) = revised({now.uid: old}, [now], LATER), revised({now.uid: old}, [], LATER)

    assert (4, 4) == (new.sequence, gone.sequence)


def test_a_cancelled_entry_is_forgotten_once_every_calendar_had_time_to_hear():
    kept = fresh(entry(book((NOON, CLAMPED)), "in-clamps"))
    (gone,) = revised(kept, [], NOON)

    assert outdated([gone], NOON + 28 * DAY_MS) == []  # a phone that was away for four weeks
    assert outdated([gone], NOON + CANCELLED_FOR_MS) == []
    assert [gone.entry.uid] == outdated([gone], NOON + CANCELLED_FOR_MS + 1)
    assert outdated(kept.values(), NOON + 9 * CANCELLED_FOR_MS) == []


def test_a_clock_started_anew_is_another_entry():
    again = {uid_of(BUILD, "A/glue", "in-clamps", started) for started in (NOON, NOON + 1)}

    assert len(again) == 2


def test_the_stream_is_what_the_standard_asks_for():
    # RFC 5545: 3.1 lines end in CRLF and hold 75 octets at most; 3.6 PRODID and VERSION; 3.6.1 UID and DTSTAMP once.
    stream = calendar(fresh(*entries(book((NOON, GLUE_ON), (NOON, CLAMPED), (NOON, COATED)))).values())
    lines = stream.split(b"\r\n")

    assert lines[0] == b"BEGIN:VCALENDAR" and lines[-2:] == [b"END:VCALENDAR", b""]
    assert b"VERSION:2.0" in lines and b"PRODID:-//Benchbell//Clocks//EN" in lines
    assert all(len(line) <= 75 and b"\n" not in line for line in lines)
    assert stream.count(b"BEGIN:VEVENT") == stream.count(b"\nUID:") == stream.count(b"\nDTSTAMP:") == 7


def test_a_clock_makes_nobody_busy_is_for_its_owner_and_is_asked_for_every_quarter_of_an_hour():
    # RFC 5545, 3.8.2.7 TRANSP and 3.8.1.3 CLASS; RFC 7986, 5.7 REFRESH-INTERVAL, whose VALUE is required.
    lines = calendar(fresh(entry(book((NOON, CLAMPED)), "in-clamps")).values()).split(b"\r\n")

    assert {b"TRANSP:TRANSPARENT", b"CLASS:PRIVATE", b"REFRESH-INTERVAL;VALUE=DURATION:PT15M"} <= set(lines)


def test_the_same_clocks_give_the_same_bytes():
    kept = fresh(*entries(book((NOON, GLUE_ON), (NOON, COATED))))

    assert calendar(kept.values()) == calendar(reversed(kept.values()))


@given(st.text(max_size=200).map(plain))
@example(plain("\ufeff"))  # a byte order mark, which some readers drop
def test_no_text_breaks_out_of_its_line(title):
    made = structs.replace(entry(book((NOON, CLAMPED)), "in-clamps"), title=title)
    stream = calendar([PublishedEntry(made, 0, NOON)])
    found = vobject.readOne(stream.decode()).vevent

    assert title == found.summary.value
    assert stream.count(b"BEGIN:VEVENT\r\n") == 1


ASKS = {"entry_told": entry_told, "uid_of": uid_of, "least_sequence": least_sequence}


@pytest.mark.parametrize("case", cases("calendar"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == as_json(answer_of(ASKS[case["ask"]], *case["given"]))


often = settings(max_examples=200, deadline=None)  # the first answer waits for node to start

QUIET = {"from": "21:00", "to": "07:00", "zone": "Europe/Paris"}
whats = st.sampled_from(
    [GLUE_ON, CLAMPED, OFF, COATED, Acknowledged("A/glue", f"in-clamps|off|{NOON}"), Lengthened("A/glue", "rest", 999)]
)
happened = st.lists(st.tuples(st.integers(0, DAY_MS).map(lambda ms: NOON + ms) | st.just(NOON), whats), max_size=5)


def ahead_of_its_time(h, ms):
    """The happening with a stamp so far ahead of when it was: as a stamp that its device had met made it."""
    return structs.replace(h, at=structs.replace(h.at, ms=h.at.ms + ms), when=When(h.at.ms))


@often
@given(happened, st.none() | st.just(QUIET), st.integers(0, 2 * DAY_MS), st.integers(0, 3))
def test_the_phone_makes_the_same_entries(happened, quiet, after, ahead):
    now = NOON + after
    written = [ahead_of_its_time(h, ahead) for h in happenings(*happened)]
    book_of_them = Book(written)
    here = {
        made.uid: {name: getattr(made, name) for name in ("title", "text", "starts", "ends", "alarms")}
        for made in entries(book_of_them, now, read_quiet(quiet))
    }
    there = ask_the_page("entries_at", as_json(written), quiet, now)["answer"]

    assert as_json(here) == {made["uid"]: made["entry"] for made in there}


@often
@given(st.text(max_size=200))
@example("\ufeff\r\nEND:VEVENT\ud800\x85")
def test_the_phone_spares_a_calendar_the_same_characters(text):
    assert plain(text) == ask_the_page("plain_text", text)["answer"]


@often
@given(st.text(max_size=200).map(plain), st.integers(-(10**6), 10**7))
@example("Ö" * 100, -90)
@example("a\\,;b", 0)
def test_the_phones_stream_says_the_same_to_another_library(title, after):
    made = structs.replace(entry(book((NOON, CLAMPED)), "in-clamps"), title=title, alarms=((after, title),))
    sent = {"uid": made.uid, "sequence": 7, "made": NOON, "entry": msgspec.to_builtins(made)}
    stream = ask_the_page("stream_of", sent)["answer"]
    (here,), there = events([PublishedEntry(made, 7, NOON)]), vobject.readOne(stream).vevent

    assert values_in(here) == values_in(there)
    assert all(len(line.encode()) <= 75 for line in stream.split("\r\n"))


def values_in(component):
    """All values of an event and of its alarms, by name."""
    own = {name: [one.value for one in lines] for name, lines in component.contents.items() if name != "valarm"}
    return own, [values_in(alarm) for alarm in component.contents.get("valarm", [])]
