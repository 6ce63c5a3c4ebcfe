"""What is chosen when a build begins: sizes, counts, woods, yes or no, and what is there only then."""

import pytest
from benchbell.recipe.compiler import compile_text
from choice_corners import corners
from shipped import FRAGMENTS, RECIPES, SOUND, compile_file, shipped_fragments
from small_recipes import PARTS, compiled, sound, work

HEIGHT = """
[choice.height]
ask = "How high?"
default = "420 mm"
least = "400 mm"
most = "500 mm"
step = "10 mm"
"""
WOOD = '\n[choice.wood]\nask = "Which wood?"\ndefault = "white ash"\namong = ["white ash", "white oak"]\n'
LEGS = '\n[choice.legs]\nask = "How many legs?"\ndefault = 3\nleast = 3\nmost = 8\n'
GLIDES = '\n[choice.glides]\nask = "With glides?"\ndefault = true\n'


def stool(choices, work="", count="2", size='"420 mm"', stock="white ash", more=""):
    """A stool with choices; work: further keys of its one operation; more: further tables."""
    return f"""title = "Stool"
{choices}
[[part]]
id = "leg"
count = {count}
stock = "{stock}"
size = [{size}, "40 mm", "40 mm"]

[[operation]]
id = "plane"
parts = ["leg"]
do = "Plane {{nothing}}."
{work}
{more}
""".replace("{nothing}", "it")


def with_chosen(text, pieces=1, **chosen):
    """The sheet with these answers, about which there is nothing to say."""
    sheet = compiled_with(text, pieces, **chosen)

    assert [str(finding) for finding in sheet.findings] == []
    return sheet


def compiled_with(text, pieces=1, **chosen):
    """The sheet with these answers; B__height stands for B.height."""
    answers = {name.replace("__", "."): answer for name, answer in chosen.items()}
    return compile_text(text, "small.toml", pieces, chosen=answers, fragments=shipped_fragments())


def test_a_size_stands_in_formulas_and_is_told_in_the_sheet():
    sheet = with_chosen(stool(HEIGHT, size='"height - 20 mm"'), height="43 cm")

    assert 410 == sheet.parts[0].plan_mm[0]
    assert [("height", "How high?", "43 cm")] == [(one.name, one.ask, one.value) for one in sheet.choices]


def test_without_an_answer_the_default_is_chosen():
    assert 420 == with_chosen(stool(HEIGHT, size='"height"')).parts[0].plan_mm[0]


@pytest.mark.parametrize(
    ("height", "allowed"), [("400 mm", True), ("406.35 mm", True), ("16 1/4 in", False), ("412.7 mm", True)]
)
def test_the_steps_of_a_size_are_counted_from_its_least(height, allowed):
    # By hand: a step is 6.35 mm; 16 1/4 in is 412.75 mm, 0.05 mm beyond the second.
    quarter = HEIGHT.replace("10 mm", "1/4 in").replace("420 mm", "412.7 mm")

    assert allowed == (compiled_with(stool(quarter, size='"height"'), height=height).findings == ())


def test_a_count_stands_for_numbers_and_in_formulas():
    text = stool(LEGS, count='"legs + 1"', size='"100 mm * legs"', work='minutes = { each = "legs / 2" }')
    sheet = with_chosen(text, legs="5")

    assert 6 == len(sheet.parts)
    assert 500 == sheet.parts[0].plan_mm[0]
    assert 6 * 2.5 == sheet.operations[0].minutes


def test_a_number_may_come_from_a_size_that_nobody_measures():
    text = stool(HEIGHT + '\n[size]\nrungs = "floor(height / 100 mm, 1)"\n', count='"rungs"')

    assert [4, 5] == [len(with_chosen(text, height=height).parts) for height in ("420 mm", "500 mm")]
    assert "rungs" not in {size.name for size in with_chosen(text).sizes}


def test_a_wood_is_put_wherever_its_name_stands_in_braces():
    text = stool(
        WOOD, stock="{wood}", size='\'300 mm + movement("{wood}", "flat", 100 mm)\'', work='needs = ["{wood} scrap"]'
    )
    ash, oak = with_chosen(text), with_chosen(text, wood="white oak")

    assert ("white oak", ("white oak scrap",)) == (oak.parts[0].stock, oak.operations[0].needs)
    assert ash.parts[0].plan_mm[0] != oak.parts[0].plan_mm[0]


def test_a_default_that_is_a_wood_may_be_any_wood():
    text = stool(WOOD.replace('among = ["white ash", "white oak"]\n', ""), stock="{wood}")

    assert "black walnut" == with_chosen(text, wood="black walnut").parts[0].stock
    assert ["choice"] == [finding.rule for finding in compiled_with(text, wood="cheese").findings]


GLIDE = """
[[part]]
id = "glide"
count = 2
stock = "white oak"
size = ["260 mm", "thick", "thick"]
when = "glides"

[[setup]]
id = "stop"
station = "mitre saw"
set = { stop = "60 mm" }
prove = "Cut a scrap."

[[operation]]
id = "cut-glides"
parts = ["glide"]
setup = "stop"
do = "Cut it."
when = "glides"

[[operation]]
id = "look-over"
parts = ["leg", "glide-1", "glide-2"]
after = ["cut-glides"]
do = "Look."

[[hardware]]
name = "screw"
count = 4
when = "glides"
"""


def test_what_is_not_chosen_is_nowhere():
    text = stool(GLIDES + '\n[size]\nthick = "40 mm"\n', more=GLIDE)
    there, gone = with_chosen(text), with_chosen(text, glides="no")

    assert ["leg-1", "leg-2", "glide-1", "glide-2"] == [part.name for part in there.parts]
    assert ["leg-1", "leg-2"] == [part.name for part in gone.parts]
    assert ["A/plane", "A/look-over"] == [op.id for op in gone.operations]
    assert ((), (), ()) == (gone.setups, gone.hardware, gone.sizes)
    assert ("A/leg-1", "A/leg-2") == gone.operations[1].parts


@pytest.mark.parametrize(
    ("condition", "there"),
    [("glides", True), ("not glides", False), ("legs >= 3", True), ("legs > 3", False), ("legs < 4", True),
     ("legs <= 2", False), ("legs = 3", True), ("legs != 3", False), ('wood = "white ash"', True),
     ("wood != 'white ash'", False), ("height > 41 cm", True), ("height * 2 = 33 in + 1.8 mm", True),
     ("2 * legs + 1 = 7", True)],
)  # fmt: skip
def test_a_condition_is_understood(condition, there):
    choices = GLIDES + LEGS + WOOD + HEIGHT
    quoted = condition.replace('"', '\\"')
    second = f'\n[[operation]]\nid = "sand"\nparts = ["leg"]\ndo = "Sand it."\nwhen = "{quoted}"\n'
    text = stool(choices, count='"legs"', size='"height"', stock="{wood}", more=second)
    text += '\n[[operation]]\nid = "oil"\nparts = ["leg"]\ndo = "Oil it."\nwhen = "glides"\n'

    assert there == ("A/sand" in [op.id for op in with_chosen(text).operations])


def test_of_several_conditions_all_must_hold():
    second = '\n[[operation]]\nid = "sand"\nparts = ["leg"]\ndo = "It."\nwhen = ["glides", "legs > 4"]\n'
    text = stool(GLIDES + LEGS, count='"legs"', more=second)

    assert [1, 2, 1] == [
        len(with_chosen(text, **given).operations) for given in ({}, {"legs": "5"}, {"legs": "5", "glides": "no"})
    ]


def test_two_rows_with_one_id_take_turns():
    more = "".join(
        f'\n[[operation]]\nid = "end"\nparts = ["leg"]\ndo = "{do}"\nmakes = "stool"\nwhen = "{when}"\n'
        for do, when in (("With.", "glides"), ("Without.", "not glides"))
    )
    text = stool(GLIDES, more=more)

    assert [("With.",), ("Without.",)] == [
        with_chosen(text, glides=answer).operations[1].do for answer in ("yes", "no")
    ]


def test_a_recipe_without_choices_may_have_braces_in_its_texts():
    assert ("Cut {it}.",) == sound(PARTS + work("cut", ["leg", "rail"]).replace("Do it.", "Cut {it}.")).operations[0].do


def test_a_text_for_a_number_that_names_nothing_is_refused_as_ever():
    (finding,) = compiled(PARTS.replace("count = 2", 'count = "two"') + work("cut", ["leg", "rail"])).findings

    assert "Part leg: count is the text “two”, not a whole number from 1 to 200." == finding.what


ALL = [*RECIPES, *SOUND]


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda file: file.stem)
def test_every_shipped_recipe_asks_at_least_two_things(recipe):
    assert 2 <= len(compile_file(recipe).choices)


@pytest.mark.parametrize(
    ("recipe", "chosen"),
    [
        pytest.param(file, chosen, id=f"{file.stem}: {', '.join(chosen.values())}")
        for file in ALL
        for chosen in corners(file.read_text(encoding="utf-8"), file.name, shipped_fragments())
    ],
)
def test_at_the_corners_of_its_choices_a_recipe_has_no_finding(recipe, chosen):
    assert [str(finding) for finding in compile_file(recipe, chosen=chosen).findings] == []


@pytest.mark.parametrize("end", ["value", "least", "most"])
@pytest.mark.parametrize("fragment", FRAGMENTS, ids=lambda file: file.stem)
def test_a_shipped_fragment_is_sound_by_itself(fragment, end):
    chosen = {one.name: getattr(one, end) for one in compile_file(fragment).choices if getattr(one, end)}

    assert [str(finding) for finding in compile_file(fragment, chosen=chosen).findings] == []
