"""What a machine is fed: large enough, of wood, and long while it is said to be."""

import pytest
from small_recipes import LEGS, RAIL, TITLE, compiled, rules, work


def worked(size, station):
    """What is said of a rail of that size at a station."""
    text = TITLE + RAIL.replace('"340 mm", "70 mm", "25 mm"', size)
    return rules(text + work("do", ["rail"], f'station = "{station}"'))


@pytest.mark.parametrize(
    ("size", "station", "said"),
    [
        ('"12 in", "3 in", "1 in"', "table saw", []),  # a magazine's rule: nothing shorter than 12 in
        ('"299 mm", "70 mm", "25 mm"', "table saw", ["part-too-small"]),
        ('"299 mm", "70 mm", "25 mm"', "hand tools", []),
        ('"400 mm", "19 mm", "25 mm"', "jointer", ["part-too-small"]),
        ('"400 mm", "70 mm", "5 mm"', "planer", ["part-too-small"]),
    ],
)
def test_a_part_is_held_against_its_stations_least_size(size, station, said):
    assert worked(size, station) == said


def test_veneer_is_not_held_against_a_machines_least_size():
    leaf = TITLE + RAIL.replace("25 mm", "0.6 mm").replace("stock", 'material = "veneer"\nstock')

    assert rules(leaf + work("trim", ["rail"], 'station = "table saw"')) == []


@pytest.mark.parametrize("need", ["crosscut sled", "carrier board, 400 mm", "taper jig", "Sleds for both ends"])
def test_a_sled_or_carrier_answers_for_a_small_part(need):
    # Common practice, no source.
    saw = work("do", ["rail"], f'station = "table saw"\nneeds = ["{need}"]')

    assert rules(TITLE + RAIL.replace("340 mm", "140 mm") + saw) == []
    assert rules(TITLE + RAIL.replace("340 mm", "140 mm") + saw.replace(need, "rip blade")) == ["part-too-small"]


@pytest.mark.parametrize(
    ("size", "said"),
    [
        ('"250 mm", "40 mm", "3 mm"', "its thickness is 3 mm, the usual least at the planer is 6 mm; its length too."),
        (
            '"60 mm", "40 mm", "5 mm"',
            "its length is 60 mm, the usual least at the planer is 300 mm; its thickness too.",
        ),
    ],
)
def test_the_measure_that_is_furthest_below_its_limit_is_named_first(size, said):
    text = TITLE + RAIL.replace('"340 mm", "70 mm", "25 mm"', size)
    [finding] = compiled(text + work("do", ["rail"], 'station = "planer"')).findings

    assert finding.what.endswith(said)


def test_copies_are_alike_and_different_parts_are_not():
    short = LEGS.replace("420", "120"), RAIL.replace("340 mm", "120 mm").replace("70 mm", "40 mm").replace("25", "40")

    assert (
        rules(TITLE + "".join(short) + work("saw", ["leg", "rail"], 'station = "mitre saw"')) == ["part-too-small"] * 2
    )


SHORT = TITLE + RAIL.replace("340 mm", "140 mm")
FORM = RAIL.replace('"rail"', '"base"').replace('"white ash"', '"birch plywood"')


@pytest.mark.parametrize(
    ("need", "station", "said"),
    [
        ("crosscut sled", "table saw", []),
        ("crosscut sled", "planer", ["part-too-small"]),
        ("mitre sled", "router table", ["part-too-small"]),
        ("table saw sled", "mitre saw", ["part-too-small"]),
        ("miter saw jig", "mitre saw", []),
        ("taper sled", "planer", []),
    ],
)
def test_a_sled_answers_at_its_own_machine_alone(need, station, said):
    # Common practice, no source.
    assert rules(SHORT + work("do", ["rail"], f'station = "{station}"\nneeds = ["{need}"]')) == said


def test_a_setups_sled_answers_for_the_operations_that_use_it():
    setup = '\n[[setup]]\nid = "stop"\nstation = "table saw"\nprove = "Cut a scrap."\nneeds = ["sled with a stop"]\n'
    sawn = work("saw", ["rail"], 'setup = "stop"')

    assert rules(SHORT + setup + sawn) == []
    assert rules(SHORT + setup + sawn + work("round", ["rail"], 'station = "router table"')) == ["part-too-small"]


@pytest.mark.parametrize(
    ("fixture", "said"),
    [
        ('id = "coping-sled"\nmade = ["base"]', []),
        ('id = "holder"\ntitle = "Carrier board"\nmade = ["base"]', []),
        ('id = "holder"\nowned = "small parts jig"', []),
        ('id = "planer-sled"\nmade = ["base"]', ["part-too-small"]),
        ('id = "press-form"\nmade = ["base"]', ["part-too-small"]),
    ],
)
def test_a_fixture_that_is_a_sled_answers_where_it_is_held(fixture, said):
    name = fixture.partition('"')[2].partition('"')[0]
    steps = work("make", ["base"]) + work("saw", ["rail"], f'station = "mitre saw"\nfixtures = {{ {name} = 1 }}')

    assert rules(SHORT + FORM + f"\n[[fixture]]\n{fixture}\n" + steps) == said


def test_what_is_worked_in_long_lengths_is_judged_by_them():
    def said(keys):
        return rules(SHORT + work("round", ["rail"], f'station = "router table"\n{keys}'))

    assert said("") == ["part-too-small"]
    assert said('in_lengths = "600 mm"') == []
    assert said('in_lengths = "2 * 150 mm"') == []
    assert said('in_lengths = "250 mm"') == ["part-too-small"]
    assert said('in_lengths = "10 min"') == ["wrong-kind"]


def test_a_part_that_is_long_already_stays_as_long():
    assert rules(TITLE + RAIL + work("round", ["rail"], 'station = "router table"\nin_lengths = "100 mm"')) == []


def test_what_is_cut_to_length_later_is_worked_in_lengths():
    long = work("round", ["rail"], 'station = "router table"\nin_lengths = "600 mm"')
    cut = work("cut", ["rail"], 'station = "mitre saw"\nto_size = ["length"]\nneeds = ["stop jig"]')
    rough = cut.replace('to_size = ["length"]', "rough = true")

    assert rules(SHORT + long + cut) == []
    assert rules(SHORT + cut + long) == ["cut-before"]
    assert rules(SHORT + rough + long) == []


def test_what_one_cut_spoils_is_told_once():
    both = SHORT + LEGS
    cut = work("cut", ["leg", "rail"], 'station = "mitre saw"\nto_size = ["length"]\nneeds = ["stop jig"]')
    long = [work(id, ["leg", "rail"], 'station = "router table"\nin_lengths = "600 mm"') for id in ("round", "cove")]
    spared = long[0].replace("in_lengths", 'accept = { cut-before = { leg = "Both are long." } }\nin_lengths')

    assert [str(one) for one in compiled(both + cut + "".join(long)).findings] == [
        "small.toml:27: warning: Operation round works rail in lengths, which cut has cut to length before; so it is "
        "with leg and cove. Move cut down, after cove, or take out in_lengths."
    ]
    assert sorted(one.grade for one in compiled(both + cut + spared + long[1]).findings) == ["accepted", "warning"]


@pytest.mark.parametrize(
    ("stock", "station", "said"),
    [
        ("float glass", "table saw", ["not-wood"]),
        ("slate tiles", "mitre saw", ["not-wood"]),
        ("brass bar", "band saw", ["not-wood"]),
        ("brass bar", "drill press", []),
        ("glass", "drill press", ["not-wood"]),
        ("acrylic", "band saw", ["not-wood"]),
        ("acrylic", "hand tools", []),
        ("float glass", "bench", []),
        ("beech dowel", "band saw", []),
        ("white ash", "band saw", []),
        ("hardboard", "table saw", []),
    ],
)
def test_a_machine_for_wood_is_given_wood(stock, station, said):
    # Glass, metal and stone: trade/tables/not_wood.toml.
    pane = RAIL.replace('"white ash"', f'"{stock}"\nmaterial = "other"')

    assert rules(TITLE + pane + work("cut", ["rail"], f'station = "{station}"')) == said


def test_ironwood_is_no_iron_and_solid_wood_is_never_asked_about():
    ironwood = RAIL.replace('"white ash"', '"copper beech"')

    assert rules(TITLE + ironwood + work("cut", ["rail"], 'station = "table saw"')) == []
