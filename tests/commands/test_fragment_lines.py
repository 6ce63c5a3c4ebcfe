"""`benchbell names fragment`: which there are, and of one all that its use asks and makes."""

import json

import pytest
from benchbell.cli import main


def test_the_shipped_fragments_are_listed(capsys):
    assert main(["names", "fragment"]) == 0
    out = capsys.readouterr().out

    assert "dovetailed-drawer   Dovetailed drawer\n" in out
    assert "hall-bench" not in out


def test_one_fragment_tells_its_choices_and_what_it_makes(capsys):
    assert main(["names", "fragment", "framed-door"]) == 0
    out = capsys.readouterr().out

    assert "  width              How wide is the door? 420 mm (from 340 mm to 620 mm)\n" in out
    assert "  wood               Which wood? European oak (any wood)\n" in out
    assert "  upper-leaf\n" in out


def test_the_same_as_json(capsys):
    assert main(["names", "fragment", "leg-frame", "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)["fragment"]

    assert ["frame"] == shown["assemblies"]
    assert "height" in {choice["name"] for choice in shown["choices"]}


def test_a_fragment_of_the_folder_at_hand_with_an_error_is_refused(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "fragments").mkdir()
    (tmp_path / "fragments/seat.toml").write_text("title = \n", encoding="utf-8")

    assert main(["names", "fragment", "seat"]) == 1
    assert "See them with benchbell check fragments/seat.toml." in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [(["fragment", "leg-fram"], "Did you mean leg-frame?"), (["wood", "oak"], "Only a fragment is shown by its name")],
)
def test_a_wrong_name_is_refused(capsys, words, said):
    assert main(["names", *words]) == 1
    assert said in capsys.readouterr().err
