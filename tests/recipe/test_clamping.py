from benchbell.recipe.clamping import Joint, joints_of
from benchbell.recipe.expansion import written_out
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.named_sizes import FormulaScope, named_sizes
from small_recipes import FIT, PARTS, glue


def joints(rows):
    """The joints of a glue-up written so."""
    text = PARTS.replace("[[part]]", '[size]\ntenon = "30 mm"\n\n[[part]]', 1) + FIT + glue(f", joints = [{rows}]")
    findings, names = FindingList("joints.toml"), FormulaScope({})
    recipe = written_out(text, findings, {}, {}, {}, {}).recipe
    named_sizes(recipe.size, names, findings)

    return joints_of(recipe.operation[-1], 1, names, findings)


def test_a_joint_is_an_area_reckoned_with_the_named_sizes():
    assert joints('{ area = "2 * tenon * 60 mm", count = 8 }') == [Joint(3600, 8, None, None)]


def test_a_glue_line_has_its_length_and_how_far_the_clamps_are_from_it():
    assert joints('{ area = "1 m * 25 mm", length = "1 m", depth = "2 in" }') == [Joint(25000, 1, 1000, 50.8)]
