"""Random planning problems, small and odd: most can be planned, not all."""

from benchbell.plan.model.problem import Craft, Hold, Link, Op, Problem, Station, Window
from hypothesis import strategies as st

SETUPS = ("a", "b", "c")
KINDS = ("bar", "heavy F")


@st.composite
def windows(draw, start):
    """A few short windows, and a very long one, so that nearly everything fits somewhere."""
    found, at = [], start - draw(st.integers(0, 30))
    for _ in range(draw(st.integers(1, 5))):
        end = at + draw(st.integers(31, 120))
        found.append(Window(at, end))
        at = end + draw(st.sampled_from((0, 15, 30, 600)))
    return (*found, Window(at + 60, at + 9000))


@st.composite
def stations(draw):
    """Up to two. Setup minutes need not obey the triangle inequality."""
    named = ("saw", "planer")[: draw(st.integers(0, 2))]
    return tuple(
        Station(
            id,
            draw(st.sampled_from(("", *SETUPS))),
            {a: {b: draw(st.integers(0, 20)) for b in SETUPS if b != a} for a in ("", *SETUPS)},
            near=draw(st.integers(0, 3)) == 0,
        )
        for id in named
    )


@st.composite
def operations(draw, count, named, start, limits, dues, craft):
    """Operations; the first may be begun."""
    found = []
    for n in range(count):
        station = draw(st.sampled_from(("", *named)))
        found.append(
            Op(
                id=f"op{n}",
                minutes=draw(st.sampled_from((0, 1, 5, 10, 20, 30, 60, 100))),
                runs=draw(st.sampled_from((0, 0, 0, 30))),
                station=station,
                setup=draw(st.sampled_from(("", *SETUPS))) if station else "",
                ready=start + draw(st.sampled_from((0, 0, 0, 50))),
                breakable=draw(st.sampled_from((False, False, True))),
                begun=n == 0 and draw(st.booleans()),
                piece=f"piece{n * 2 // count}",
                due=start + draw(st.integers(0, 400)) if dues and draw(st.booleans()) else None,
                weight=draw(st.integers(1, 3)),
                by=start + draw(st.integers(0, 400)) if limits and draw(st.integers(0, 9)) == 0 else None,
                dusty=craft and draw(st.booleans()),
                wet=draw(st.sampled_from((0, 0, 45))) if craft else 0,
                fiddly=craft and draw(st.booleans()),
            )
        )
    return tuple(found)


@st.composite
def costs(draw):
    """What faults of craft cost, more or less."""
    minutes = st.integers(0, 60)
    return Craft(
        torn=draw(minutes),
        dust=draw(minutes),
        late_act=draw(minutes),
        fiddly=draw(minutes),
        visit=draw(st.integers(0, 10)),
        long_break=draw(st.sampled_from((20, 120))),
    )


@st.composite
def problems(draw, most=9, limits=True, dues=True, cycles=True, craft=True):
    """A problem of up to so many operations, with maximal lags, due times, and links that may form a cycle.

    craft: faults of craft may count.
    """
    craft = craft and draw(st.booleans())
    start = draw(st.integers(0, 60))
    count = draw(st.integers(1, most))
    shop = draw(stations())
    pairs = st.tuples(st.integers(0, count - 1), st.integers(0, count - 1))
    links, holds = [], []
    for a, b in draw(st.lists(pairs, max_size=count)):
        backwards = cycles and draw(st.integers(0, 40)) == 0
        if a < b or (a > b and backwards):
            lag = draw(st.sampled_from((0, 0, 20, 100)))
            most_wait = lag + draw(st.integers(0, 80)) if limits and draw(st.integers(0, 2)) == 0 else None
            wanted = lag + draw(st.integers(0, 60)) if craft and draw(st.booleans()) else None
            links.append(Link(f"op{a}", f"op{b}", lag, most_wait, wanted, draw(st.booleans())))
    for a, b in draw(st.lists(pairs, max_size=3)):
        if a <= b:
            take = "" if draw(st.integers(0, 4)) == 0 else f"op{a}"
            holds.append(Hold(draw(st.sampled_from(KINDS)), draw(st.integers(1, 3)), take, f"op{b}"))
    return Problem(
        start=start,
        windows=draw(windows(start)),
        stations=shop,
        clamps={kind: draw(st.integers(2, 4)) for kind in KINDS},
        ops=draw(operations(count, [s.id for s in shop], start, limits, dues, craft)),
        links=tuple(links),
        holds=tuple(holds),
        craft=draw(costs()) if craft else None,
        here=draw(st.sampled_from(("", "saw"))),
        wet_until=start + draw(st.sampled_from((0, 30))),
    )
