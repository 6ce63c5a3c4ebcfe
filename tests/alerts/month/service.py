"""The push service of the month: at times away, at times it takes a message and its answer is lost."""

import json
from types import SimpleNamespace

from alerts.month.phone import Steps
from benchbell.alerts.push_queue import PushResult


class PowerCut(Exception):
    """The server stops just after a push was taken, before it could write that down."""


class Service:
    """accepted: every message taken: when, for whom, which ring, whether the server got the answer."""

    def __init__(self, chance, now):
        self.chance = chance
        self.now = now
        self.up = Steps(True)
        self.accepted = []
        self.waiting = {}

    async def push(self, to, topic, keep_s, text):
        """Stands in for PushQueue.push: takes the message, or does not."""
        t = self.now()
        if not self.up.values[-1]:
            return PushResult("later", self.chance.choice([None, 20]), "The push service answered 503.")
        message = json.loads(text)
        key = (message["build"], message["operation"], message["ring"])
        luck = self.chance.random()
        self.accepted.append(
            SimpleNamespace(t=t, device=to.device, key=key, tag=message["tag"], topic=topic, answered=luck > 0.02)
        )
        self.waiting.setdefault(to.device, {})[topic] = (key, t + keep_s * 1000)
        if luck < 0.005:
            raise PowerCut
        return PushResult("later", None, "no answer") if luck <= 0.02 else PushResult("accepted")

    def deliver(self, device, t):
        """What the phone gets now that it can be reached."""
        waiting = self.waiting.pop(device, {})
        return [key for key, until in waiting.values() if until > t]
