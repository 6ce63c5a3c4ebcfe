"""Some days in a workshop where phones sleep, networks fail and the server restarts; all of it reckoned again."""

from copy import deepcopy

import pytest
from alerts.month.account import Account
from alerts.month.world import live

DAYS, BUILDS = 2, 2


@pytest.fixture(scope="module", params=[11, 12])
def world(request, tmp_path_factory):
    return live(tmp_path_factory.mktemp("month"), request.param, DAYS, BUILDS)


@pytest.fixture(scope="module")
def account(world):
    return Account(world)


def test_no_ring_is_early(account):
    assert [] == account.early


def test_no_ring_is_missed(account):
    assert [] == account.missed


def test_no_device_is_told_twice(account):
    assert [] == account.doubled


def test_the_days_held_what_they_are_to_prove(account, world):
    assert account.counts["clocks"] > 20
    assert account.counts["rung_by_page"] > 20 and account.counts["pushes"] > 100
    assert account.counts["kept_back_in_quiet_hours"] > 0
    assert world.server.restarts > 0
    assert any(phone.error.times[1:] for phone in world.phones)
    assert any(not up for up in world.service.up.values)


def tampered(world, change):
    """The account of the same days with one thing changed."""
    again = deepcopy_of(world)
    change(again)
    return Account(again)


def deepcopy_of(world):
    """Enough of the world to change what rang; the rest is shared."""
    again = object.__new__(type(world))
    again.__dict__.update(world.__dict__)
    again.phones = [shallow(phone) for phone in world.phones]
    again.service = shallow(world.service)
    for phone in again.phones:
        phone.rung = dict(phone.rung)
    again.service.accepted = deepcopy(world.service.accepted)
    return again


def shallow(thing):
    again = object.__new__(type(thing))
    again.__dict__.update(thing.__dict__)
    return again


def rung_by_page(world):
    return next((phone, key) for phone in world.phones for key, (_, by) in phone.rung.items() if by == "page")


def test_a_ring_taken_away_is_found_missing(world):
    def change(again):
        phone, key = rung_by_page(again)
        del phone.rung[key]

    assert 1 == len(tampered(world, change).missed)


def test_a_ring_half_a_minute_too_soon_is_found_early(world):
    def change(again):
        phone, key = rung_by_page(again)
        t, by = phone.rung[key]
        phone.rung[key] = (t - 30_000, by)

    assert 1 == len(tampered(world, change).early)


def test_a_push_sent_again_without_need_is_found_doubled(world):
    def change(again):
        message = next(m for m in again.service.accepted if m.answered)
        again.service.accepted.append(message)

    assert 1 == len(tampered(world, change).doubled)


def test_pushes_left_out_are_found_missing(world):
    def change(again):
        again.service.accepted = [m for m in again.service.accepted if m.device != again.phones[0].device]

    assert len(tampered(world, change).missed) > 10
