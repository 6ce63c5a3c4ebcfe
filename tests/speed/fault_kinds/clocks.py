"""The server's wall clock: wrong and then right, set back, set forward, and wrong after a boot.

The true moments are counted by the machine's uptime, which the fault does not touch. The faults are hours, so that a
clock that goes by the wall is far off; after a boot, where nobody can know how long the machine was off, they are
seconds, so that the later of the possible moments still comes within the time of a try.
"""

import time
from contextlib import AbstractContextManager
from pathlib import Path

from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.server import Server
from speed.fault_kinds.trial import Trial, phone_of, running

HOUR = 3600
GLUED_S = 4.0
BEHIND_S = -6.0


def wall_at(folder: Path, seconds: float) -> AbstractContextManager[Trial]:
    """A server whose wall is so many seconds off when it starts, and a phone with a build."""
    server = Server(folder, "--local")
    server.set_clock(seconds)
    return running(server, phone_of, GLUED_S)


def behind_then_right(folder: Path) -> Outcome:
    """A small computer without a battery clock starts two hours behind; while glue dries the network sets it right.

    No clock rings early, neither one that runs over the jump nor one whose start was recorded on the old time.
    """
    with wall_at(folder, -2 * HOUR) as trial:
        trial.phone.clamp()
        trial.phone.deliver()
        trial.phone.clamp()  # on the old time, sent on the new
        trial.server.set_clock(0)
        time.sleep(1)
        trial.phone.deliver()
        trial.tries += 1
        trial.recover()
        return trial.judged()


def set_back(folder: Path) -> Outcome:
    """The wall is set back three hours while glue dries. The clock rings at its moment, not three hours later."""
    with wall_at(folder, 0) as trial:
        trial.phone.clamp()
        trial.phone.deliver()
        trial.phone.clamp()
        trial.server.set_clock(-3 * HOUR)
        time.sleep(1)
        trial.phone.deliver()
        trial.tries += 1
        trial.recover()
        return trial.judged()


def ahead_for_one_entry(folder: Path) -> Outcome:
    """The wall is three hours ahead while one entry is recorded, then right again.

    Stamps go on from that entry's, so that the order holds; clocks begun later ring at their moments all the same.
    """
    with wall_at(folder, 0) as trial:
        trial.server.set_clock(3 * HOUR)
        time.sleep(1)
        trial.phone.deliver()
        trial.phone.clamp()
        trial.phone.deliver()
        trial.server.set_clock(0)
        time.sleep(1)
        trial.phone.deliver()
        trial.phone.clamp()
        trial.phone.deliver()
        trial.tries += 1
        trial.recover()
        return trial.judged()


def boot_with_early_wall(folder: Path) -> Outcome:
    """Another boot begins with a wall earlier than the newest entry; later it is set right.

    A clock that runs over the boot rings no earlier than its moment, though it may be as much later as the wall was
    wrong; one begun after the boot rings at its moment.
    """
    with wall_at(folder, 0) as trial:
        trial.phone.clamp()
        trial.phone.deliver()
        trial.server.stop()
        trial.server.set_clock(BEHIND_S, boot="second")
        trial.expect(trial.server.start(), "the server did not start with an early wall")
        trial.phone.deliver()
        trial.phone.clamp()
        trial.phone.deliver()
        trial.server.set_clock(0, boot="second")
        time.sleep(1)
        trial.tries += 1
        trial.recover()
        return trial.judged()
