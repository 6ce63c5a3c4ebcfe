"""Up to five phones and a server under every fault of a workshop: all end equal, and nothing taken is lost.

`HISTORIES=5000 pytest tests/histories` runs as many histories as it says.
"""

import os
import uuid

from histories.phone import Cut, Phone, id_of
from histories.shop import Shop
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

HISTORIES = int(os.environ.get("HISTORIES", "200"))
WAYS = ("whole", "lost on the way", "answer lost", "twice")
DEVICES = [letter * 16 for letter in "abcde"]

phone_numbers = st.integers(0, len(DEVICES) - 1)


class Workshop(RuleBasedStateMachine):
    """safe: ids that a phone was told are taken. They must be on the server from then on."""

    @initialize(count=st.integers(1, len(DEVICES)))
    def begin(self, count):
        self.shop = Shop()
        self.phones = [Phone(device) for device in DEVICES[:count]]
        self.recorded = 0
        self.safe: set[str] = set()
        self.phone_copies: list[Phone] = []
        self.shop_copies = []

    def phone(self, number) -> Phone:
        return self.phones[number % len(self.phones)]

    @rule(number=phone_numbers, count=st.integers(1, 6))
    def something_happens(self, number, count):
        for _ in range(count):
            self.recorded += 1
            id = str(uuid.UUID(int=self.recorded << 80 | 7 << 76 | 2 << 62 | self.recorded))
            self.phone(number).record(id, 1_764_072_000_000 + self.recorded)

    @rule(number=phone_numbers, way=st.sampled_from(WAYS))
    def a_phone_syncs(self, number, way):
        ways = {
            "whole": self.shop.ask,
            "lost on the way": self.shop.lost_on_the_way,
            "answer lost": self.shop.answer_lost,
            "twice": self.shop.twice,
        }
        self.round_trip(self.phone(number), ways[way])

    def round_trip(self, phone, ask):
        before = {id_of(body) for body in phone.waits.values()}
        try:
            phone.sync(ask)
        except Cut:
            return
        self.safe |= before - {id_of(body) for body in phone.waits.values()}

    @precondition(lambda self: self.shop.late)
    @rule(which=st.integers(0, 99))
    def a_request_arrives_late(self, which):
        self.shop.deliver_late(which % len(self.shop.late))

    @rule()
    def the_server_restarts(self):
        self.shop.restart()

    @rule(number=phone_numbers)
    def a_phone_is_backed_up(self, number):
        self.phone_copies.append(self.phone(number).copied())

    @precondition(lambda self: self.phone_copies)
    @rule(which=st.integers(0, 99))
    def a_phone_is_restored(self, which):
        copy = self.phone_copies[which % len(self.phone_copies)]
        self.phones = [copy.copied() if phone.device == copy.device else phone for phone in self.phones]

    @precondition(lambda self: len(self.phones) < len(DEVICES))
    @rule(number=phone_numbers)
    def a_phone_is_copied_and_both_go_on(self, number):
        self.phones.append(self.phone(number).copied())

    @rule(number=phone_numbers)
    def a_phone_is_paired_anew(self, number):
        self.phone(number).device = uuid.uuid5(uuid.NAMESPACE_URL, f"{self.recorded} {number}").hex[:16]

    @rule()
    def the_server_is_backed_up(self):
        self.shop_copies.append((self.shop.back_up(), set(self.safe)))

    @precondition(lambda self: self.shop_copies)
    @rule(which=st.integers(0, 99))
    def the_server_is_restored(self, which):
        copy, safe = self.shop_copies[which % len(self.shop_copies)]
        self.shop.restore(copy)
        self.safe = set(safe)

    @invariant()
    def what_was_taken_is_on_the_server(self):
        assert self.safe <= set(self.shop.log())

    def teardown(self):
        if not hasattr(self, "shop"):
            return
        try:
            self.all_end_equal()
        finally:
            self.shop.close()

    def all_end_equal(self):
        anywhere = {id for phone in self.phones for id in phone.log}
        for phone in [*self.phones, *self.phones]:
            rounds = 0
            while phone.sync(self.shop.ask):
                rounds += 1
                assert rounds < 200, "phone and server never come to rest"
        book = self.shop.log()

        assert anywhere <= set(book)
        for phone in self.phones:
            assert book == phone.log


TestWorkshop = Workshop.TestCase
TestWorkshop.settings = settings(
    max_examples=HISTORIES, stateful_step_count=30, deadline=None, suppress_health_check=list(HealthCheck)
)
