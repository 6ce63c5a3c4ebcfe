"""The fragments that a recipe may use, found in folders: read only when a recipe asks for them."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from benchbell.findings import Refused
from benchbell.recipe.expansion import FragmentText
from benchbell.recipe.read import MOST_BYTES

FOLDER = "fragments"
"""Where fragments lie beside recipes. A recipe beside them may be used as a fragment too."""


def short_name(file: Path) -> str:
    """A recipe's file as a page shows it: without the folders that only the server's owner knows."""
    return f"{FOLDER}/{file.name}" if file.parent.name == FOLDER else file.name


class FragmentFiles(Mapping[str, FragmentText]):
    """By name, the fragments in some folders of recipes; of two with one name, the one in the earlier folder."""

    def __init__(self, recipes: Sequence[Path], shown: Callable[[Path], str] = str) -> None:
        """recipes: folders of recipes. shown: what findings call a file."""
        self.shown = shown
        folders = [inner for folder in recipes for inner in (folder / FOLDER, folder)]
        self.files = {file.stem: file for folder in reversed(folders) for file in sorted(folder.glob("*.toml"))}

    def __getitem__(self, name: str) -> FragmentText:
        """The text, cut just beyond the size the compiler accepts. Raises KeyError; Refused when it cannot be read."""
        file = self.files[name]
        try:
            with file.open("rb") as opened:
                text = opened.read(MOST_BYTES + 1).decode("utf-8", "replace")
        except OSError as error:
            raise Refused(f"The fragment {file} cannot be read: {error.strerror}.", "Check the file.") from error
        return FragmentText(self.shown(file), text)

    def __iter__(self) -> Iterator[str]:
        """The names, sorted."""
        return iter(sorted(self.files))

    def __len__(self) -> int:
        """How many there are."""
        return len(self.files)

    def state(self) -> tuple[tuple[str, int, int], ...]:
        """The files, each with the moment of its last change in ns and its size: equal while nobody changes one."""
        found = [(file, file.stat()) for file in self.files.values() if file.exists()]
        return tuple((str(file), stat.st_mtime_ns, stat.st_size) for file, stat in found)
