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
    ClockTracker.refresh reads what is new                                clock_tracker.py
      │   ····························· on disk: finished builds, calendar entries
      ▼
    RunningBuilds folds it into the clocks of each build                  running_builds.py
      │
      ▼
    schedule.alarms_of: all rings, past and to come                       schedule.py, quiet.py
      │
      ├── calendar.entry_of: one entry for each clock                     calendar.py
      │     │   ······················· on disk: the entry and its SEQUENCE
      │     ▼
      │   GET /calendar/….ics: the phone's own calendar                   web/calendar_routes.py
      ▼
    schedule.due: the rings due now, without acknowledged ones
      │
      ├── Bell.ring: a command, and the terminal's bell                   bell.py
      │       ························· on disk before it rings: rung
      ▼
    PushQueue.deliver: to each device the rings it lacks                  push_queue.py, undelivered.py
      │   notice.message_of, webpush.encrypt, push_client.send
      ▼
    push service
      │   ····························· on disk once the service accepted it: delivered
      ▼
    the phone shows it under its clock's tag

Who wakes whom: a commit sets `news`; the loop waits until 0.1 s passed without more news, at most 1 s, and makes a
round. `wake` makes a round at once: it is set when a device's push ended, when the bell ended and when a device
subscribed. Without either the loop sleeps until the next ring, at most 10 s, because its timer does not count the time
that a machine is asleep.

What holds when something fails:

- Crash before the commit: the phone got no answer and sends again. Crash after it: the next start reads it.
- Crash between push and record: the ring is pushed again under the same topic and tag; the phone shows it once.
- Crash between record and bell: that ring is not heard on the bell. A bell that fails must not ring for ever.
- Full disk: what was pushed is remembered in memory, so it is not pushed twice while the server runs. The bell does not
  ring, because its record cannot be written first. A round that has to write a calendar entry fails; a failed round is
  tried again after 5 s. Caching finished builds is put off.
- Push service away: only that device waits, 2 s at first and 60 s at most, or as long as the service asks, 1 h at
  most. The others are pushed to meanwhile. A service that rejects pushes is tried again after 10 min. An expired
  subscription is dropped.
- Quiet hours: a ring waits until they end, except for kinds with any_hour in bench/clock_kinds.toml. When the setting
  cannot be read everything rings, and the Shop screen says why.
- Acknowledged on any device: the ring is no longer due; the next push removes its notice from the other phones.
- A damaged entry: its build rings by the others that it has; without its beginning it does not ring. A build whose
  clocks cannot be worked out does not ring. Either way the other builds ring, and the Shop screen names that one.
- A damaged calendar entry is published as a new one.
- Program updated: what another version cached about finished builds is not used (code_fingerprint.py).
"""
