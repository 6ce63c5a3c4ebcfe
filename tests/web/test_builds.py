"""Starting a build: once, with codes nobody else has, and not from a recipe with errors."""

import itertools

import msgspec
import pytest
from benchbell.bench.encoding import read_happening
from benchbell.bench.happenings import SERVER
from benchbell.recipe.label_code import check_character
from scene import PHONE, body, for_one_machine, id7, send

BUILD = id7(77)
WANTED = {"id": BUILD, "recipe": "hall-bench", "pieces": 2, "name": "Two for the hall"}


@pytest.fixture
def client(tmp_path):
    with for_one_machine(tmp_path) as client:
        yield client


def start(client, **changed):
    return client.post("/builds", json={**WANTED, **changed})


def happenings(client):
    return [read_happening(msgspec.json.encode(h)) for h in send(client, PHONE).json()["happenings"]]


def test_the_build_and_its_sheet_come_to_every_phone_with_the_next_sync(client):
    answer = start(client)
    (begun,) = happenings(client)

    assert (BUILD, BUILD, 1, SERVER) == (begun.id, begun.build, begun.n, begun.at.device)
    assert ("Two for the hall", ("A", "B")) == (begun.what.name, begun.what.sheet.pieces)
    assert answer.json() == {"build": BUILD, "name": "Two for the hall", "codes": begun.what.codes}


def test_every_part_and_assembly_has_a_code_that_adds_up_and_no_other_has(client):
    start(client)
    start(client, id=id7(78))
    codes = [h.what.codes for h in happenings(client)]
    sheet = happenings(client)[0].what.sheet
    every = [code for given in codes for code in given.values()]

    assert {one.id for one in (*sheet.parts, *sheet.assemblies)} == set(codes[0])
    assert len(every) == len(set(every)) == 2 * len(codes[0])
    assert all(check_character(code[:-1]) == code[-1] for code in every)


def test_a_code_drawn_twice_is_drawn_again(tmp_path):
    draws = itertools.count()
    with for_one_machine(tmp_path, random_bytes=lambda n: (next(draws) // 3).to_bytes(n)) as client:
        codes = start(client).json()["codes"].values()

    assert len(codes) == len(set(codes))


def test_a_code_given_to_a_part_made_again_is_not_given_to_another(tmp_path):
    draws = itertools.count()
    with for_one_machine(tmp_path, random_bytes=lambda n: next(draws).to_bytes(n)) as client:
        taken = "0000000" + check_character("0000000")
        send(client, PHONE, [body(1, kind="remade", part="A/leg-1", code=taken)])

        assert taken not in start(client).json()["codes"].values()


def test_asking_again_starts_no_second_build(client):
    first, again = start(client), start(client)

    assert first.json() == again.json()
    assert 1 == len(happenings(client))


def test_an_id_that_stands_for_another_build_is_refused(client):
    start(client)
    refused = start(client, pieces=3)

    assert (400, f"Build {BUILD} is Two for the hall, of hall-bench.toml.") == (
        refused.status_code,
        refused.json()["error"]["what"],
    )


def test_a_recipe_with_errors_is_refused_with_its_findings(tmp_path):
    (tmp_path / "crooked.toml").write_text('title = "Crooked"\n[size]\na = "b"\nb = "a"\n', encoding="utf-8")
    with for_one_machine(tmp_path, recipes=(tmp_path,)) as client:
        refused = start(client, recipe="crooked").json()["error"]

        assert [] == happenings(client)
    assert "findings" == refused["kind"]
    assert {"error"} == {finding["grade"] for finding in refused["findings"]}
    assert {"crooked.toml"} == {finding["file"] for finding in refused["findings"]}


@pytest.mark.parametrize(
    ("changed", "status"),
    [({"pieces": 0}, 400), ({"pieces": 27}, 400), ({"id": "x"}, 400), ({"name": ""}, 400), ({"recipe": "../x"}, 400),
     ({"recipe": "gone"}, 404)],
)  # fmt: skip
def test_what_is_not_of_its_form_starts_nothing(client, changed, status):
    assert status == start(client, **changed).status_code
    assert [] == happenings(client)


def test_the_shops_own_figures_are_compiled_in(client):
    glue = "pva-interior"
    kept = body(1, build="", kind="kept", setting="clamps", value={"bar": 1})
    send(client, PHONE, [kept, body(2, build="", kind="kept", setting="celsius", value="not a number")])
    start(client)
    sheet = happenings(client)[-1].what.sheet

    assert glue
    assert "clamps" in " ".join(finding.rule for finding in sheet.findings)


def test_what_was_chosen_is_compiled_in_and_told_in_the_sheet(client):
    answer = start(client, choices={"height": "46 cm", "B.height": "42 cm"})
    sheet = happenings(client)[0].what.sheet
    legs = {part.id: part.plan_mm[0] for part in sheet.parts if part.name == "leg-1"}

    assert 200 == answer.status_code
    assert {"A/leg-1": 430, "B/leg-1": 390} == legs
    assert [("46 cm", {"B": "42 cm"})] == [(one.value, one.by_piece) for one in sheet.choices if one.name == "height"]


def test_what_cannot_be_chosen_starts_nothing_and_says_what_can(client):
    refused = start(client, choices={"height": "3 m", "witdh": "1 m"}).json()["error"]

    assert [] == happenings(client)
    assert ("findings", "What was chosen does not fit the recipe hall-bench.") == (refused["kind"], refused["what"])
    assert [
        "The recipe has no choice witdh.",
        "Choice height: 3000 mm is above 480 mm, the most.",
    ] == [finding["what"] for finding in refused["findings"]]


def test_the_same_id_with_other_choices_is_refused(client):
    start(client)

    assert 400 == start(client, choices={"height": "46 cm"}).status_code


def test_a_build_of_a_recipe_with_fragments_keeps_what_they_were(tmp_path):
    with for_one_machine(tmp_path) as client:
        start(client, recipe="bedside-table")
        sheet = happenings(client)[0].what.sheet

    assert {"A/upper-drawer", "A/lower-drawer"} <= {one.id for one in sheet.assemblies}
