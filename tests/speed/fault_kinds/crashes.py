"""The server killed, and the machine asleep."""

import random
import threading
import time
from pathlib import Path

from histories.phone import Cut
from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.trial import Trial, local, phone_of
from speed.fault_kinds.witness import Witness

KILLS = 6
STARTS_KILLED = 8
SLEEPS = 2


def kill_under_load(folder: Path) -> Outcome:
    """SIGKILL while four phones record and sync as fast as they can; the server starts again each time.

    Every entry that any of them was told is taken is in the log once, and clocks ring over all the starts.
    """
    chance = random.Random(7)
    with local(folder) as trial:
        trial.phones += [phone_of(trial.server, letter) for letter in "bcde"]
        for _ in range(KILLS):
            trial.phone.clamp()
            trial.phone.deliver()
            threads = [threading.Thread(target=record_until_cut, args=(phone,)) for phone in trial.phones[1:]]
            for thread in threads:
                thread.start()
            wait_until_taken(trial, chance.randint(8, 60))
            trial.server.kill()
            for thread in threads:
                thread.join()
            trial.tries += 1
            trial.expect(trial.server.start(), "the server did not start after a kill")
            trial.recover()
        for phone in trial.phones[1:]:
            phone.deliver()
        return trial.judged()


def record_until_cut(phone: Witness) -> None:
    """Record and sync until the server is gone."""
    try:
        while True:
            phone.note()
            phone.sync_once()
    except Cut:
        return


def wait_until_taken(trial: Trial, count: int) -> None:
    """Until the server took so many more entries: counted, not timed, for a busy machine is slow."""
    wanted = count + sum(len(phone.acknowledged) for phone in trial.phones)
    until = time.monotonic() + 30
    while sum(len(phone.acknowledged) for phone in trial.phones) < wanted and time.monotonic() < until:
        time.sleep(0.002)


def kill_at_start(folder: Path) -> Outcome:
    """SIGKILL at some moment of a start, one start after the other, while a clock comes due.

    The next whole start has every entry, and rings once what came due meanwhile.
    """
    chance = random.Random(11)
    with local(folder, seconds=2) as trial:
        trial.phone.clamp()
        trial.phone.deliver()
        trial.server.kill()
        for _ in range(STARTS_KILLED):
            trial.server.begin()
            time.sleep(chance.uniform(0.2, 2.5))
            trial.server.kill()
            trial.tries += 1
        trial.expect(trial.server.start(), "the server did not start after killed starts")
        trial.recover()
        return trial.judged()


def suspended(folder: Path) -> Outcome:
    """SIGSTOP over the moment of a ring and with a request under way, then SIGCONT: a lid closed and opened.

    What comes due meanwhile rings late and once; the request is answered or sent again.
    """
    with local(folder, seconds=2) as trial:
        for _ in range(SLEEPS):
            trial.phone.clamp()
            trial.phone.deliver()
            trial.server.suspend()
            trial.phone.note()
            sender = threading.Thread(target=trial.phone.deliver)
            sender.start()
            time.sleep(4)
            trial.server.resume()
            sender.join()
            trial.tries += 1
            trial.recover()
        return trial.judged()
