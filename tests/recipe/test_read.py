import pytest
from benchbell.recipe.read import MOST_BYTES
from hypothesis import given
from hypothesis import strategies as st
from small_recipes import PARTS, compiled, sound, work

GOOD = PARTS + work("plane", ["leg", "rail"])
TOML_FORM = 'Put texts in "quotes", lists in [brackets] and tables in { braces }.'


def said(text):
    """What the checker says, without the file's name."""
    return [str(finding).removeprefix("small.toml:") for finding in compiled(text).findings]


def test_a_sound_recipe_is_compiled_without_a_word():
    assert sound(GOOD).title == "Stool"


def test_a_recipe_may_begin_with_a_byte_order_mark():
    assert sound("\ufeff" + GOOD).title == "Stool"


def test_a_megabyte_is_read_and_a_byte_more_is_not():
    comment = "\n#" + "x" * (MOST_BYTES - len(GOOD) - 2)

    assert said(GOOD + comment) == []
    assert said(GOOD + comment + "x") == [
        "0: error: The recipe has more than 1,000,000 bytes. Split it into several recipes."
    ]


def test_length_is_counted_in_bytes_not_characters():
    assert said(GOOD + "\n#" + "é" * (MOST_BYTES // 2)) == [
        "0: error: The recipe has more than 1,000,000 bytes. Split it into several recipes."
    ]


@pytest.mark.parametrize("deep", ["[" * 400_000, "{a=" * 100_000, "[" * 5000 + "]" * 5000])
def test_deep_nesting_is_refused(deep):
    assert said("\nx = " + deep) == [f"1: error: This is not TOML: it is nested too deeply. {TOML_FORM}"]


@pytest.mark.parametrize("key", [".".join("a" * 20_000), "'a' . " * 60 + "a", "[ {a." + "b." * 60 + "c = 1} ]"])
def test_a_key_with_many_dots_is_refused_before_it_costs_time(key):
    assert said(f"\n\n{key} = 1") == [
        f"3: error: This is not TOML at column 1: it has a key with too many dots. {TOML_FORM}"
    ]


def test_a_number_too_long_to_read_is_refused():
    assert said("x = " + "1" * 5000) == [
        f"1: error: This is not TOML: it has a number with too many digits. {TOML_FORM}"
    ]


def test_half_a_character_is_refused():
    assert said('title = "x"\nabout = "\ud800"') == [
        f"2: error: This is not TOML at column 1: it has a broken character. {TOML_FORM}"
    ]


def test_text_that_looks_like_markup_stays_text():
    name = '<script>alert(1)</script> & \\"quotes\\"'
    text = GOOD.replace("Stool", name).replace("Do it.", name).replace("white ash", name)
    sheet = compiled(text)

    assert sheet.title == '<script>alert(1)</script> & "quotes"'
    assert sheet.operations[0].do == (sheet.title,)
    assert sheet.parts[0].stock == sheet.title


def test_a_long_name_is_cut_short_in_a_sentence():
    text = GOOD.replace('id = "leg"', f'id = "{"x" * 500}"')

    assert said(text)[0] == (f"4: error: Part {'x' * 39}…: id has 500 characters, more than 40. Shorten it.")


@given(st.text(max_size=200))
def test_no_text_breaks_it(text):
    assert compiled(text).findings


@given(st.data())
def test_no_damage_to_a_recipe_breaks_it(data):
    at = data.draw(st.integers(0, len(GOOD)))
    gone = data.draw(st.integers(0, 30))
    put = data.draw(st.text("[]{}=\"'.,#\n leg12", max_size=8))
    sheet = compiled(GOOD[:at] + put + GOOD[at + gone :])

    assert all(finding.line <= GOOD.count("\n") + 9 for finding in sheet.findings)


def test_of_very_many_misfits_the_first_are_said():
    assert len(said("\n".join(f"key{n} = 1" for n in range(5000)))) == 200


def test_a_table_written_twice_is_explained_in_plain_words():
    assert said("[size]\n[size]\n") == [
        f"2: error: This is not TOML at column 6: this table is there twice. {TOML_FORM}"
    ]
