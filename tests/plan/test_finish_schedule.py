"""A schedule of finish as it is planned, worked and told: each coat and each sanding an ordinary operation."""

from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks, held_by
from benchbell.bench.happenings import Began, CoatOn, Finished, Happening, Stamp, Started, Ticked
from benchbell.bench.state import bench_of
from benchbell.buildlog.story import build_log
from plan.shop_day import MINUTE, MONDAY, build_of, presented
from small_recipes import PARTS, compiled, work

TEXT = PARTS + work(
    "finish",
    ["leg", "rail"],
    """minutes = 15
coat = [
  { with = "shellac", coats = 2, sand = "P320 by hand", sand_minutes = 10, faces = ["underside", "top"] },
  { with = "waterborne", turn = "4 h", faces = ["underside", "top"] },
]""",
)


def moments(plan):
    """By operation, when it begins and ends, in minutes after the first begins."""
    start = min(step.start for step in plan.steps)
    return {
        step.operation: ((step.start - start) // MINUTE, (step.end - start) // MINUTE)
        for step in sorted(plan.steps, key=lambda step: step.start)
    }


def test_the_plan_has_every_coat_and_sanding_when_the_one_under_it_is_dry():
    # Shellac: 1 h to the next coat; by hand, in minutes: 15, 60 wait, 10 and 15, 60 wait, and so on.
    plan = presented(build_of(TEXT))

    assert moments(plan) == {
        "A/finish-1": (0, 15),
        "A/finish-sand-2": (75, 85),
        "A/finish-2": (85, 100),
        "A/finish-3": (160, 175),
        "A/finish-sand-4": (235, 245),
        "A/finish-4": (245, 260),
        "A/finish-5": (320, 335),
        "A/finish-6": (24 * 60, 24 * 60 + 15),  # 4 h after 335 the shop is closed
    }
    assert [step.title for step in plan.steps][:3] == [
        "Finish, underside: shellac, coat 1 of 2",
        "Finish, underside: sand between coats, after coat 1 of shellac",
        "Finish, underside: shellac, coat 2 of 2",
    ]


def book_of(*whats):
    """A book of one piece's build after these happenings, half an hour apart, and its sheet."""
    sheet, book = compiled(TEXT), Book()
    for n, what in enumerate([Started("Stool", sheet, TEXT, {}), *whats]):
        book.add(Happening(f"h{n}", n + 1, Stamp(MONDAY + n * 30 * MINUTE, 0, "0" * 16), "b", (), what))
    return book, sheet


FIRST_COAT = (Began("A/finish-1"), CoatOn("A/finish-1"), Finished("A/finish-1"))


def test_at_the_bench_a_sanding_is_held_by_the_coats_clock_and_ticked_part_by_part():
    book, sheet = book_of(*FIRST_COAT, Began("A/finish-sand-2"), Ticked("A/finish-sand-2", "A/leg-1"))
    bench, sanding = bench_of(book), next(op for op in sheet.operations if op.name == "finish-sand-2")

    def held(minutes):
        now = MONDAY + minutes * MINUTE
        return [
            clock.kind for clock in held_by(sanding, clocks(sheet, bench_of(book_of(*FIRST_COAT)[0]), [], now), now)
        ]

    assert held(119) == ["recoat"]  # on at 60 min, dry an hour later
    assert held(120) == []
    assert bench.operations["A/finish-sand-2"].left == ("A/leg-2", "A/rail")


def test_the_log_tells_each_by_its_title():
    book, _ = book_of(*FIRST_COAT, Began("A/finish-sand-2"), Finished("A/finish-sand-2"))
    log = build_log("b", book, {})

    assert [op.title for op in log.operations if op.hands_minutes is not None] == [
        "Finish, underside: shellac, coat 1 of 2",
        "Finish, underside: sand between coats, after coat 1 of shellac",
    ]
