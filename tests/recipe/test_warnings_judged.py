"""Every warning about the shipped recipes in shops that differ from the usual one, each judged by a maker.

In the usual shop there is none (test_golden.py, test_choices.py). A row that appears or goes is read, and judged again.
"""

import pytest
from benchbell.recipe.shop_profile import ShopProfile
from shipped import RECIPES, compile_file

SHOPS = {
    "cold": ShopProfile(celsius=12),
    "hot": ShopProfile(celsius=30),
    "damp": ShopProfile(humidity=75),
    "few clamps": ShopProfile(clamps={"parallel jaw": 4, "heavy F": 4, "light F": 8, "band": 1, "spring": 4}),
    "a narrow planer": ShopProfile(widths_mm={"planer": 130}),
    "a year from 20 to 90 %": ShopProfile(least_humidity=20, most_humidity=90),
}

JUDGED = {
    ("cold", "too-cold"): (
        "true: slow epoxy thickens and may never finish below 15 °C, oils and shellac stay soft; their labels say so",
        {
            "bedside-table": "left-oil right-oil upper-shellac lower-shellac oil",
            "hall-bench": "oil",
            "laminated-footrest": "glue-left-bow glue-right-bow oil",
            "mantel-clock": "shellac",
            "plant-stand": "varnish",
            "porch-chair": "glue-lower-slat glue-middle-slat glue-upper-slat glue-seat glue-back glue-legs glue-posts",
            "wall-cabinet": "door-field-oil shellac-insides oil",
        },
    ),
    ("hot", "spread-too-long"): (
        "true: polyurethane skins over in half its time on a hot day, and this glue-up has six joints and four pegs",
        {"garden-stool": "glue-base"},
    ),
    ("damp", "too-damp"): (
        "true: shellac blushes in damp air",
        {
            "bedside-table": "upper-shellac lower-shellac",
            "mantel-clock": "shellac",
            "wall-cabinet": "shellac-insides",
        },
    ),
    ("few clamps", "too-few-clamps"): (
        "true: the recipe names them, and the shop has counted fewer; a maker borrows some or glues in turns",
        {
            "hall-bench": "glue-seat",
            "laminated-footrest": "glue-left-bow glue-right-bow",
            "mantel-clock": "press-front glue-case glue-blocks",
            "porch-chair": "glue-lower-slat glue-middle-slat glue-upper-slat",
            "wall-cabinet": "glue-side-lips",
        },
    ),
    ("a narrow planer", "too-wide"): (
        "true: the boards are wider than the machine, and are planed by hand or ripped first",
        {
            "bedside-table": "plane-top-boards",
            "hall-bench": "plane-seat-boards",
            "mantel-clock": "plane-plinth",
            "porch-chair": "plane-seat-boards",
        },
    ),
}
"""By shop and rule, the verdict and the operations of each recipe."""


@pytest.mark.parametrize("shop", SHOPS)
def test_each_warning_in_another_shop_was_judged(shop):
    told = {
        (rule, recipe, operation)
        for (where, rule), (_, found) in JUDGED.items()
        for recipe, operations in found.items()
        for operation in operations.split()
        if where == shop
    }
    raised = {
        (finding.rule, file.stem, finding.what.split()[1])
        for file in RECIPES
        for finding in compile_file(file, shop=SHOPS[shop]).findings
    }

    assert raised == told
