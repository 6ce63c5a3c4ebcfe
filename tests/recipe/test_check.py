import ast
from pathlib import Path

from benchbell.recipe import check

ROOM = Path(check.__file__).parent


def rules_in(file):
    """Public functions of a module that take a context and give nothing."""
    for node in ast.parse(file.read_text(encoding="utf-8")).body:
        if (
            isinstance(node, ast.FunctionDef)
            and ast.unparse(node.args) == "context: RuleContext"
            and ast.unparse(node.returns) == "None"
        ):
            yield node.name


def test_every_rule_of_the_room_is_in_the_list():
    files = [*ROOM.glob("*_rules.py"), ROOM / "as_built.py"]

    assert sorted(rule.__name__ for rule in check.RULES) == sorted(name for file in files for name in rules_in(file))
