"""One sentence for each happening: the vectors, and that the table names nothing that is not there."""

import re

import msgspec
import pytest
from benchbell.bench.happening_kinds import HAPPENING_KINDS
from benchbell.bench.happenings import What
from benchbell.bench.sentences import PLACE, VALUES, filled
from briefs import sentence_told
from hypothesis import given
from hypothesis import strategies as st
from twins import answer_of, cases, expected

KINDS = {kind.tag: {field.encode_name: field.type for field in kind.fields} for kind in
         msgspec.inspect.type_info(What).types}  # fmt: skip
TEXT_OR_CHOICE = (msgspec.inspect.StrType, msgspec.inspect.BoolType)


@pytest.mark.parametrize("case", cases("sentences"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == answer_of(sentence_told, *case["given"])


@pytest.mark.parametrize("kind", HAPPENING_KINDS)
def test_a_sentence_names_only_what_its_kind_holds_and_only_what_can_be_written(kind):
    for place in PLACE.finditer(HAPPENING_KINDS[kind].sentence):
        is_field = isinstance(KINDS[kind].get(place[1]), TEXT_OR_CHOICE)

        assert place[1] in VALUES or is_field, place[0]


@pytest.mark.parametrize("kind", HAPPENING_KINDS)
def test_a_sentence_is_whole(kind):
    assert re.match(r"[A-Z{]", HAPPENING_KINDS[kind].sentence)
    assert HAPPENING_KINDS[kind].sentence.endswith((".", "]", "}"))


@given(st.text(max_size=20))
def test_a_value_is_never_read_as_part_of_the_sentence(text):
    assert filled("Note: {text}", lambda name: text) == f"Note: {text}"
    assert filled("Off.[ Reason: {reason}]", lambda name: text) == (f"Off. Reason: {text}" if text else "Off.")
