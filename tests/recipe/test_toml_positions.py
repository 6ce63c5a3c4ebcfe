import tomllib

from benchbell.recipe.toml_positions import line_at, lines_of
from hypothesis import given
from hypothesis import strategies as st

TEXT = '''\
title = "Bench # not a comment"

[size]  # named
height = "450 mm"
"quoted key" = 1

[[part]]
id = "leg"
mates = [
  { end = "top = bottom" },
]

[[part]]
id = "rail"

[[part.mates]]
end = "[[left]]"

[[part.mates]]
end = 'right'

[part.extra]
note = """
id = "not a key"
[[part]]
"""
after = 2
glue.with = "pva"
glue . spread = "3 min"
'''


def test_each_table_and_key_has_its_line():
    assert {
        ("title",): 1,
        ("size",): 3,
        ("size", "height"): 4,
        ("size", "quoted key"): 5,
        ("part",): 7,
        ("part", 0): 7,
        ("part", 0, "id"): 8,
        ("part", 0, "mates"): 9,
        ("part", 1): 13,
        ("part", 1, "id"): 14,
        ("part", 1, "mates"): 16,
        ("part", 1, "mates", 0): 16,
        ("part", 1, "mates", 0, "end"): 17,
        ("part", 1, "mates", 1): 19,
        ("part", 1, "mates", 1, "end"): 20,
        ("part", 1, "extra"): 22,
        ("part", 1, "extra", "note"): 23,
        ("part", 1, "extra", "after"): 27,
        ("part", 1, "extra", "glue"): 28,
        ("part", 1, "extra", "glue", "with"): 28,
        ("part", 1, "extra", "glue", "spread"): 29,
    } == lines_of(TEXT)


def test_what_stands_inside_one_line_is_found_on_that_line():
    lines = lines_of('\n[[operation]]\nglue = { with = "pva", joints = [{ area = "1 mm" }] }\n')

    assert line_at(lines, ("operation", 0, "glue", "joints", 0, "area")) == 3


def test_a_place_nobody_wrote_has_no_line():
    assert line_at(lines_of('title = "x"\n'), ("part",)) == 0


def test_windows_line_ends_and_odd_separators_count_like_toml_counts_them():
    text = 'a = 1\r\nb = "x\u2028y\x85z"\r\nc = 3\r\n'

    assert lines_of(text) == {("a",): 1, ("b",): 2, ("c",): 3}
    assert tomllib.loads(text)["c"] == 3


VALUES = st.sampled_from(
    [
        "1",
        '"# [x] = {"',
        "'\"'",
        r'"a \" b # ["',
        r'"\\"',
        "[1,\n 2, # ]\n 3]",
        '{ x = "]", y = [{ z = 1 }] }',
        '"""\n[[part]]\nid = 1\n"""',
        '"""one " two "" three"""',
        '""""quoted""""',
        "'''\n# a = 1\n'''",
        '["[", \'{\', """\n]""" ]',
    ]
)
GAPS = st.sampled_from(["", "\n", "# x = 1\n", "   # [[y]]\n\n"])


@st.composite
def documents(draw):
    """A TOML text and the line of each key in it."""
    text, lines, table, count = "", {}, (), 0
    for n in range(draw(st.integers(1, 12))):
        text += draw(GAPS)
        if draw(st.booleans()):
            count += 1
            text += "[[row]]\n"
            table = ("row", count - 1)
            lines[table] = text.count("\n")
        name = draw(st.sampled_from([f"key{n}", f'"key {n}"', f"'key.{n}'"]))
        lines[(*table, name.strip("\"'"))] = text.count("\n") + 1
        text += f"{draw(st.sampled_from(['', '  ']))}{name} = {draw(VALUES)}\n"
    return text, lines


@given(documents())
def test_no_quotation_comment_or_bracket_leads_it_astray(document):
    text, lines = document
    tomllib.loads(text)
    found = {path: line for path, line in lines_of(text).items() if path != ("row",)}

    assert lines == found
