"""The lines of the tables and keys in a TOML text, for findings."""

import re

Path = tuple[str | int, ...]

_written = re.compile(
    r'"""(?:\\.|[^\\])*?"""(?:"{0,2})|' + r"'''.*?'''(?:'{0,2})|" + r'"(?:\\.|[^"\\\n])*"|' + r"'[^'\n]*'|#[^\n]*",
    re.DOTALL,
)
_name = re.compile(r"""\s*("(?:\\.|[^"\\])*"|'[^']*'|[A-Za-z0-9_-]+)\s*(\.?)""")
_BLANK = "\x00"


def lines_of(text: str) -> dict[Path, int]:
    """The line, from 1, of each table and key: ("operation", 2, "glue") is the third operation's glue.

    text: valid TOML. Keys of an inline table have that table's line.
    """
    lines: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    depth = 0
    for number, (line, bare) in enumerate(zip(text.split("\n"), without_texts(text).split("\n"), strict=True), 1):
        if depth == 0:
            if bare.lstrip().startswith("["):
                table = table_opened(line, counts)
                for path in (table[:-1], table) if isinstance(table[-1], int) else (table,):
                    lines.setdefault(path, number)
                continue
            for path in keys_in(line, bare, table):
                lines.setdefault(path, number)
        depth += sum(bare.count(mark) for mark in "[{") - sum(bare.count(mark) for mark in "]}")
    return lines


def without_texts(text: str) -> str:
    """The text with quoted texts and comments blanked out, so that every bracket and = left is TOML's own."""
    return _written.sub(lambda found: re.sub(r"[^\n]", _BLANK, found[0]), text)


def table_opened(line: str, counts: dict[Path, int]) -> Path:
    """The path that a header opens. Each [[part]] counts one up in `counts`; [part.x] belongs to the last [[part]]."""
    header = line.lstrip()
    names = names_at(header, len(header) - len(header.lstrip("[")))
    path: Path = ()
    for n, name in enumerate(names, 1):
        path = (*path, name)
        if n == len(names) and header.startswith("[["):
            counts[path] = counts.get(path, 0) + 1
        if path in counts:
            path = (*path, counts[path] - 1)
    return path


def keys_in(line: str, bare: str, table: Path) -> list[Path]:
    """The paths that a line gives values to: for `glue.with = …` both the glue and its with."""
    if "=" not in bare:
        return []
    names = names_at(line, 0)
    return [(*table, *names[:n]) for n in range(1, len(names) + 1)]


def names_at(line: str, at: int) -> list[str]:
    """The names of the dotted key at `at`, without quotes."""
    names = []
    while found := _name.match(line, at):
        names.append(found[1][1:-1] if found[1][0] in "\"'" else found[1])
        at = found.end()
        if not found[2]:
            break
    return names


def line_at(lines: dict[Path, int], path: Path) -> int:
    """The line of a path, or of the nearest table around it; 0 when neither is known."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return 0
