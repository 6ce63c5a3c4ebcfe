"""The recipes and fragments that come with the program, and those of the tests, compiled as a maker would."""

from pathlib import Path

from benchbell.fragment_files import FragmentFiles, short_name
from benchbell.recipe.compiler import compile_text

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / "recipes"
RECIPES = sorted(FOLDER.glob("*.toml"))
FRAGMENTS = sorted(FOLDER.glob("fragments/*.toml"))
SOUND = sorted((ROOT / "tests/recipe/sound").glob("*.toml"))
"""Recipes of the tests about which there is nothing to say."""


def shipped_fragments():
    """The fragments that any recipe may use."""
    return FragmentFiles((FOLDER,), short_name)


def compile_file(file, pieces=1, **more):
    """The sheet of a recipe's file."""
    return compile_text(file.read_text(encoding="utf-8"), file.name, pieces, fragments=shipped_fragments(), **more)
