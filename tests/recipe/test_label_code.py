"""Label codes: what the check character catches, and how forgiving reading is."""

import string
from itertools import combinations

import pytest
from benchbell.recipe import label_code
from benchbell.recipe.label_code import (
    ALPHABET,
    NotALabelCode,
    label_target,
    new_code,
    read_code,
    show_code,
    similar_codes,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from twins import answer_of, ask_the_page, cases, expected

codes = st.integers(0, 2**35 - 1).map(new_code)
places = st.integers(0, 7)


@pytest.mark.parametrize("case", cases("label_code"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == answer_of(getattr(label_code, case["ask"]), *case["given"])


def test_the_alphabet_is_crockfords():
    # Douglas Crockford, "Base 32" (2002/2019): ten digits and 22 letters, without I, L, O and U.
    assert "".join(c for c in string.digits + string.ascii_uppercase if c not in "ILOU") == ALPHABET


def test_the_fields_generator_is_primitive():
    # x^5 + x^2 + 1 is primitive over GF(2) (Lidl & Niederreiter, Introduction to Finite Fields, Table D; from memory):
    # its root's powers run through all 31 elements but 0 before they come back to 1.
    powers = [1]
    while (following := label_code.times_alpha(powers[-1])) != 1:
        powers.append(following)

    assert set(range(1, 32)) == set(powers)
    assert len(powers) == 31


def test_no_single_wrong_character_adds_up_anywhere():
    """The sum is linear, so that the difference alone decides: every place, every difference, from every character."""
    for whole in (new_code(0), new_code(12345678901), new_code(2**35 - 1)):
        for place in range(8):
            for wrong in ALPHABET.replace(whole[place], ""):
                with pytest.raises(NotALabelCode, match="does not add up"):
                    read_code(whole[:place] + wrong + whole[place + 1 :])


def test_no_two_swapped_characters_add_up_anywhere():
    """Every pair of places with every pair of unlike characters in them, in a code that is good."""
    for first, second in combinations(range(8), 2):
        for a, b in combinations(range(32), 2):
            good = good_code_with({first: a, second: b})
            swapped = good_code_with({first: a, second: b}, swap=(first, second))

            assert read_code(good) == good
            with pytest.raises(NotALabelCode, match="does not add up"):
                read_code(swapped)


def good_code_with(wanted, swap=()):
    """A code that adds up with these characters in these places, or the same with two of them swapped."""
    free = next(place for place in range(8) if place not in wanted)
    for fill in range(32):
        characters = [ALPHABET[wanted.get(place, fill if place == free else 7)] for place in range(8)]
        if label_code.check_character("".join(characters[:7])) == characters[7]:
            break
    if swap:
        first, second = swap
        characters[first], characters[second] = characters[second], characters[first]
    return "".join(characters)


@given(codes, places, st.sampled_from(ALPHABET))
def test_any_wrong_character_in_any_code_is_caught(whole, place, character):
    changed = whole[:place] + character + whole[place + 1 :]

    assert (changed == whole) == ("answer" in answer_of(read_code, changed))


@given(codes, places, places)
def test_any_swap_in_any_code_is_caught(whole, one, other):
    characters = list(whole)
    characters[one], characters[other] = characters[other], characters[one]
    changed = "".join(characters)

    assert (changed == whole) == ("answer" in answer_of(read_code, changed))


@given(codes, st.lists(st.tuples(places, st.sampled_from(" -–\t")), max_size=4), st.booleans())
def test_reading_forgives_spaces_dashes_and_case(whole, gaps, small):
    typed = whole.lower() if small else whole
    for place, gap in gaps:
        typed = typed[:place] + gap + typed[place:]

    assert whole == read_code(typed)


@given(codes)
def test_reading_forgives_look_alikes(whole):
    assert whole == read_code(whole.replace("0", "o").replace("1", "l"))
    assert whole == read_code(whole.replace("0", "O").replace("1", "I"))


@given(codes)
def test_what_is_shown_is_read(whole):
    assert whole == read_code(show_code(whole))


@given(codes, places, st.sampled_from(["wrong", "missing", "added", "swapped"]), st.sampled_from(ALPHABET))
def test_one_slip_finds_the_code_again(whole, place, slip, character):
    slips = {
        "wrong": whole[:place] + character + whole[place + 1 :],
        "missing": whole[:place] + whole[place + 1 :],
        "added": whole[:place] + character + whole[place:],
        "swapped": whole[:place] + whole[place : place + 2][::-1] + whole[place + 2 :],
    }

    assert [whole] == similar_codes(slips[slip], [whole])


@given(codes, codes)
def test_a_good_code_is_never_near_another(whole, other):
    """One edit within eight characters never adds up."""
    assert ([whole] if whole == other else []) == similar_codes(other, [whole])


@given(st.integers(max_value=-1) | st.integers(min_value=2**35))
def test_chance_beyond_35_bits_is_a_mistake_of_ours(bits):
    with pytest.raises(ValueError, match="not 0 to"):
        new_code(bits)


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_with_a_sentence(text):
    for ask in (read_code, label_target):
        answer = answer_of(ask, text)

        assert "answer" in answer or answer["refused"].endswith(".")


texts = st.text(max_size=60) | st.text("0O1lIiou7-– \tHTPSB:/.éß😀", max_size=12)
addresses = st.builds(
    "{}://{}/{}/{}".format, st.sampled_from(["http", "HTTPS"]), texts, st.sampled_from("PpSuCx"), texts
)


@settings(max_examples=500, deadline=None)  # the first answer waits for node to start
@given(texts | addresses | codes | codes.map(show_code), st.lists(codes, max_size=4))
def test_any_text_is_read_alike_on_the_phone(text, known):
    for ask in ("read_code", "label_target", "slug"):
        assert answer_of(getattr(label_code, ask), text) == ask_the_page(ask, text)

    assert answer_of(similar_codes, text, known) == ask_the_page("similar_codes", text, known)


@settings(deadline=None)
@given(st.integers(0, 2**35 - 1))
def test_chance_makes_the_same_code_on_the_phone(bits):
    assert answer_of(new_code, bits) == ask_the_page("new_code", bits)


@settings(deadline=None)
@given(codes, places, st.sampled_from(ALPHABET))
def test_the_phone_finds_the_same_codes_near(whole, place, character):
    typed = whole[:place] + character + whole[place:]

    assert answer_of(similar_codes, typed, [whole]) == ask_the_page("similar_codes", typed, [whole])
