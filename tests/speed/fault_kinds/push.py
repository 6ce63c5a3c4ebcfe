"""The push service away: it refuses, it does not answer, it is not there."""

import json
import sys
import time
from pathlib import Path

from alerts.push_service import PushService, push_service
from speed.fault_kinds.judgement import Outcome, Rung, doubled_rings, early_rings, missed_rings
from speed.fault_kinds.server import uptime_s
from speed.fault_kinds.trial import RING_S, Trial, local

START = """
import sys
from benchbell.cli import main
from benchbell.web import app
from msgspec.structs import replace
create_app = app.create_app
app.create_app = lambda settings: create_app(replace(settings, loopback_push=True))
sys.exit(main())
"""
PROGRAM = (sys.executable, "-c", START)
"""The program with the one setting that its command line does not have: pushes may go to this machine."""

AWAY = ((503, {}), (500, {}), (429, {"Retry-After": "2"}))


def service_away(folder: Path) -> Outcome:
    """The push service refuses three times. The bell rings on time; the push comes once the service takes it, once."""
    with local(folder, program=PROGRAM) as trial, push_service() as service:
        came: list[float] = []
        note_times(service, came)
        answer = trial.phone.client.put("/alerts/subscription", json=service.subscription())
        trial.expect(answer.status_code == 204, f"subscribing answers {answer.status_code}: {answer.text[:120]}")
        service.answers.extend(AWAY)
        trial.phone.clamp()
        trial.phone.deliver()
        trial.ring_now()
        trial.tries += len(AWAY)
        trial.recover()
        due = trial.all_due()
        until = uptime_s() + RING_S + 10
        while uptime_s() < until and missed_rings(due, pushed(service, came)):
            time.sleep(0.1)
        outcome = trial.judged()
        return with_pushes(outcome, trial, pushed(service, came))


def note_times(service: PushService, came: list[float]) -> None:
    """Note when each message that the service took came."""
    take = service.take

    def timed(path, headers, body):  # type: ignore[no-untyped-def]
        now = uptime_s()
        answer = take(path, headers, body)
        if answer[0] < 300:
            came.append(now)
        return answer

    service.take = timed


def pushed(service: PushService, came: list[float]) -> list[Rung]:
    """What was pushed, as rings on the phone."""
    messages = [json.loads(service.browser.read(message.body)) for message in service.took]
    return [Rung(one["operation"].removeprefix("A/"), at) for one, at in zip(messages, came, strict=False)]


def with_pushes(outcome: Outcome, trial: Trial, rung: list[Rung]) -> Outcome:
    """The outcome of the bell and of the pushes together."""
    due = trial.all_due()
    return Outcome(
        tries=outcome.tries,
        lost=outcome.lost,
        early=outcome.early + len(early_rings(due, rung)),
        missed=outcome.missed + len(missed_rings(due, rung)),
        doubled=outcome.doubled + doubled_rings(rung),
        recover_s=outcome.recover_s,
        broken=outcome.broken,
    )
