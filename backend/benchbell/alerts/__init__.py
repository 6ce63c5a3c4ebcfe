"""Alarms: how a committed happening becomes a ring on the bell, a push on a phone and a calendar entry.

::

    phone: POST /sync
      │
      ▼
    commit ····························· on disk: the happenings
      │   Listeners.announce sets AlarmLoop.news                          web/nudges.py
      ▼
    AlarmLoop.round                                                       alarm_loop.py
      │
      ▼
    ServerClock.check: was the machine's clock set?                       server_clock.py
      │   ····························· on disk: the setting; then the clock goes over to it
      ▼
    ClockTracker.refresh reads what is new                                clock_tracker.py
      │   ····························· on disk, at once or later: finished builds, calendar entries
      ▼
    RunningBuilds folds it into the clocks of each build                  running_builds.py
      │
      ▼
    schedule.alarms_of: all rings, past and to come                       schedule.py, quiet.py
      │
      ├── calendar.entry_of: one entry for each clock                     calendar.py
      │     │   ······················· on disk, at once or later: the entry and its SEQUENCE
      │     ▼
      │   GET /calendar/….ics: the phone's own calendar                   web/calendar_routes.py
      │   (a page makes the same entry of one clock without the server: pwa/src/alerts/calendar.ts)
      ▼
    schedule.due: the rings due now, without acknowledged ones
      │
      ├── Bell.ring: a command, and the terminal's bell                   bell.py
      │       ························· in memory, then on disk, once it sounds: rung
      ▼
    PushQueue.deliver: to each device the rings it lacks                  push_queue.py, undelivered.py
      │   notice.message_of, webpush.encrypt, push_client.send
      ▼
    push service
      │   ····························· in memory, then on disk, once the service accepted it: delivered
      ▼
    the phone shows it under its clock's tag

Every moment here is the server's clock's, which counts as the machine's uptime does and never jumps.

Who wakes whom: a commit sets `news`; the loop waits until 0.1 s passed without more news, at most 1 s, and makes a
round. `wake` makes a round at once: it is set when a device's push ended, when the bell ended and when a device
subscribed. Without either the loop sleeps until the next ring, at most 10 s, because its timer does not count the time
that a machine is asleep.

After each whole round the loop's heartbeat beats (heartbeat.py). Each answer to POST /sync and the stream of nudges say
when that was. A page that has not heard of a round for 45 s, because rounds fail or hang or because the server is
away, says since when only this phone rings (pwa/src/alerts/heartbeat.ts).

What holds when something fails:

- Crash before the commit: the phone got no answer and sends again. Crash after it: the next start reads it.
- Crash between push and record: the ring is pushed again under the same topic and tag; the phone shows it once.
- Crash between bell and record: the bell rings again at the next start. A bell that fails is recorded all the same: it
  must not ring for ever. A server that is stopped lets the ring that sounds come to its end; the next start rings the
  others.
- Full disk, also at the start: bell and pushes go out. What rang is remembered in memory (delivered_rings.py), so it
  rings once while the server runs, and is written at the first round with room; a restart before that rings it again.
  Calendar entries are handed out from memory and written later; a restart before that may give a changed entry the same
  SEQUENCE twice. Caching finished builds is put off. Nothing that only reads the records waits for a write.
- Records that cannot be read: the round fails and is tried again after 5 s.
- Push service away: only that device waits, 2 s at first and 60 s at most, or as long as the service asks, 1 h at
  most. The others are pushed to meanwhile. A service that rejects pushes is tried again after 10 min. An expired
  subscription is dropped.
- Quiet hours: a ring waits until they end, except for kinds with any_hour in bench/clock_kinds.toml. When the setting
  cannot be read everything rings, and the Shop screen says why.
- The machine's clock was set: the next round records it and all clocks are worked out again; no ring changes its name,
  so none is heard twice. Until the record is written, on a full disk too, the server's clock goes on as it was.
- The machine boots with a clock behind the last that was seen here: waits go by what was counted, deadlines have
  passed, and each ring says that this is not certain.
- Acknowledged on any device: the ring is no longer due; the next push removes its notice from the other phones.
- A damaged entry: its build rings by the others that it has; without its beginning it does not ring. A build whose
  clocks cannot be worked out does not ring. Either way the other builds ring, and the Shop screen names that one.
- A damaged calendar entry is published as a new one.
- Program updated: what another version cached about finished builds is not used (code_fingerprint.py).
"""
