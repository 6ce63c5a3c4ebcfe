"""Where in a TOML text each table and key stands, so that a finding can name its line."""

import re
from collections import Counter

Path = tuple[str | int, ...]

_header = re.compile(r"\s*(\[\[?)\s*([^\]]+?)\s*\]\]?")
_key = re.compile(r"""\s*("[^"]*"|'[^']*'|[A-Za-z0-9_-]+)\s*=""")


def lines_of(text: str) -> dict[Path, int]:
    """The line, from 1, of each table and key: ("operation", 2, "glue") is the third operation's glue.

    Keys inside a table written on one line are found under the line of that table's own key.
    """
    lines: dict[Path, int] = {}
    tables: Counter[str] = Counter()
    here: Path = ()
    deep = 0
    quoted = ""
    for number, line in enumerate(text.splitlines(), 1):
        if deep == 0 and not quoted:
            if header := _header.match(line):
                here = path_of(header[1], header[2], tables)
                lines.setdefault(here, number)
                continue
            if key := _key.match(line):
                lines.setdefault((*here, key[1].strip("\"'")), number)
        deep, quoted = after(line, deep, quoted)
    return lines


def path_of(brackets: str, name: str, tables: Counter[str]) -> Path:
    """A header's place: [[part]] counts up, [part.x] belongs to the last [[part]]."""
    names = [part.strip().strip("\"'") for part in name.split(".")]
    if brackets == "[[":
        tables[names[0]] += 1
    count = tables[names[0]]
    return (names[0], count - 1, *names[1:]) if count else tuple(names)


def after(line: str, deep: int, quoted: str) -> tuple[int, str]:
    """How many brackets are open, and which long quotation, at the end of a line."""
    at = 0
    while at < len(line):
        if quoted:
            end = line.find(quoted, at)
            if end < 0:
                return (deep, quoted) if len(quoted) == 3 else (deep, "")
            at, quoted = end + len(quoted), ""
        elif line[at] == "#":
            break
        elif line[at] in "\"'":
            quoted = line[at] * 3 if line.startswith(line[at] * 3, at) else line[at]
            at += len(quoted)
        else:
            deep += (line[at] in "[{") - (line[at] in "]}")
            at += 1
    return deep, quoted if len(quoted) == 3 else ""


def line_at(lines: dict[Path, int], path: Path) -> int:
    """The line of a path, or of the nearest table around it; 0 when none is known."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return 0
