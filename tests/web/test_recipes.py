"""Recipes over the network: listed, read, checked while somebody types."""

import pytest
from scene import for_one_machine

CROOKED = 'title = "Crooked"\n[size]\na = "b"\nb = "a"\n'


@pytest.fixture
def client(tmp_path):
    (tmp_path / "crooked.toml").write_text(CROOKED, encoding="utf-8")
    (tmp_path / "no good name.toml").write_text(CROOKED, encoding="utf-8")
    with for_one_machine(tmp_path, recipes=(tmp_path,)) as client:
        yield client


def test_the_list_tells_each_recipes_findings(client):
    (line,) = client.get("/recipes").json()["recipes"]

    assert ("crooked", True) == (line["name"], line["errors"] > 0)


def test_a_recipe_is_read_as_written(client):
    assert {"name": "crooked", "text": CROOKED} == client.get("/recipes/crooked").json()


@pytest.mark.parametrize("name", ["gone", "..%2fdata%2fbenchbell", "no good name", "%00", "crooked.toml"])
def test_a_name_that_is_no_recipes_finds_nothing(client, name):
    assert 404 == client.get(f"/recipes/{name}").status_code


def test_findings_come_while_somebody_types(client):
    findings = client.post("/recipes/check", json={"text": CROOKED}).json()["findings"]

    assert {"error"} == {finding["grade"] for finding in findings}
    assert all(finding["what"] and finding["next_step"] for finding in findings)


def test_every_shipped_recipe_is_listed_without_a_finding(tmp_path):
    with for_one_machine(tmp_path) as client:
        lines = client.get("/recipes").json()["recipes"]

    assert {(0, 0)} == {(line["errors"], line["warnings"]) for line in lines}
    assert all(line["title"] and line["about"] for line in lines)


def test_the_list_says_what_each_recipe_asks(tmp_path):
    with for_one_machine(tmp_path) as client:
        lines = {line["name"]: line for line in client.get("/recipes").json()["recipes"]}
    asked = {one["name"]: one for one in lines["bedside-table"]["choices"]}

    assert ("in", "18 in", "17 in", "24 in", "1/2 in") == (
        lines["bedside-table"]["units"],
        *(asked["width"][key] for key in ("value", "least", "most", "step")),
    )


def test_a_fragment_is_no_recipe_and_is_read_again_when_somebody_changes_it(tmp_path):
    fragments = tmp_path / "fragments"
    fragments.mkdir()
    body = '\n[[part]]\nid = "p"\nstock = "white ash"\nsize = ["1 m", "1 m", "1 m"]\n'
    body += '\n[[operation]]\nid = "o"\nparts = ["p"]\ndo = "It."\n'
    (fragments / "top.toml").write_text('title = "Top"\n' + body, encoding="utf-8")
    (tmp_path / "table.toml").write_text('title = "Table"\n[[use]]\nfragment = "top"\nas = "a"\n' + body, "utf-8")
    with for_one_machine(tmp_path, recipes=(tmp_path,)) as client:
        before = client.get("/recipes").json()["recipes"]
        (fragments / "top.toml").write_text('title = "Top"\nlegs = 4\n' + body, encoding="utf-8")
        after = client.get("/recipes").json()["recipes"]
        checked = client.post("/recipes/check", json={"text": (tmp_path / "table.toml").read_text()}).json()

    assert [("table", 0)] == [(line["name"], line["errors"]) for line in before]
    assert [("table", 1)] == [(line["name"], line["errors"]) for line in after]
    assert [("fragments/top.toml", 2, [{"name": "a", "file": "recipe.toml", "line": 2}])] == [
        (finding["file"], finding["line"], finding["used_by"]) for finding in checked["findings"]
    ]
