"""A station that is said to stand right now is set once more if the operation comes later."""

from benchbell.plan.model.problem import Op, Problem, Station, Window
from benchbell.plan.report.set_now import set_now
from benchbell.plan.search.infeasible import feasible_part
from hypothesis import given, settings
from plan.problems import problems
from plan.report.timelines import timeline


def changes(setups, standing):
    """How often a station is set."""
    count = 0
    for setup in filter(None, setups):
        count += setup != standing
        standing = setup
    return count


@settings(max_examples=300, deadline=None)
@given(problems(most=14, cycles=False))
def test_later_it_would_be_set_once_more(problem):
    rest, _ = feasible_part(problem)
    t = timeline(rest)
    standing = {station.id: station.standing for station in rest.stations}

    for op in set_now(t):
        row = list(t.on_station[t.ops[op].station])
        setups = [t.ops[one].setup for one in row]
        at, first = row.index(op), standing.get(t.ops[op].station, "")
        other = next(n for n in range(at, len(row)) if setups[n] not in ("", setups[at]))
        later = [*setups[:at], *setups[at + 1 : other + 1], setups[at], *setups[other + 1 :]]
        assert changes(later, first) > changes(setups, first)


def said(*setups, between=()):
    """The numbers of the operations of which it is said, at one station, done in their order."""
    ops = [Op(f"{n}", 10, station="saw", setup=setup, ready=n * 20) for n, setup in enumerate(setups)]
    ops += [Op(f"other {n}", 5, ready=n * 20 + 10) for n in between]
    station = Station("saw", "a", {setup: dict.fromkeys("abc", 1) for setup in ("", *"abc")})
    found = set_now(timeline(Problem(0, (Window(0, 900),), (station,), {}, tuple(ops))))
    return sorted(int(op) for op in found)


def test_it_is_said_of_the_last_uses_before_the_change():
    assert said("a", "b") == [0]
    assert said("a", "a", "b", between=(0,)) == [0, 1]


def test_not_while_the_maker_stays_there_nor_when_it_is_never_changed_nor_when_it_comes_back():
    assert said("a", "a", "b") == [0]
    assert said("a", "a") == []
    assert said("a", "b", "a") == []


def test_whatever_an_operation_without_a_named_setup_has_set_is_not_known():
    assert said("a", "", "a", "b", between=(1,)) == []
