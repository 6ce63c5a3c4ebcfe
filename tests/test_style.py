"""Style sheets: sizes, spaces and colours are named once in the tokens, and the layers alone decide what wins."""

import re
from collections.abc import Iterator

import pytest
from build_page import PWA

PAGE = PWA / "src"
SHEETS = sorted(PAGE.rglob("*.css"))
BESIDE = [sheet for sheet in SHEETS if sheet.parent.name != "style"]
TOKENS = PAGE / "style/tokens.css"
ORDER = PAGE / "style/all.css"

DECLARATION = re.compile(r"(?P<name>[\w-]+):\s*(?P<value>[^;{}]+);(?P<after>[ \t]*/\*)?")
SPACE = re.compile(r"(scroll-)?(margin|padding)(-[a-z]+)*|(row-|column-)?gap")
COLOUR = re.compile(r"color|[a-z]+-color|fill|stroke|background(-image)?|box-shadow|outline|border(-[a-z]+)?")
WITH_UNIT = re.compile(r"[\d.]+[a-z%]+")
NOT_A_COLOUR = {
    "inherit", "none", "transparent", "currentcolor", "solid", "dashed", "inset", "calc", "collapse",
    "linear-gradient", "repeating-linear-gradient", "no-repeat",
}  # fmt: skip
"""Every word that may stand in a colour's declaration; var() comes on top."""

MOST_TEXT_STEPS = 7


def plain(text: str) -> str:
    """The sheet with every comment emptied, so that words in a comment count as nothing."""
    return re.sub(r"/\*.*?\*/", "/**/", text, flags=re.DOTALL)


def offences(text: str) -> Iterator[str]:
    """Each declaration of a sheet that writes a size, a space or a colour instead of naming a token."""
    text = plain(text)
    for found in DECLARATION.finditer(text):
        name, value = found["name"], found["value"].strip()
        explained = found["after"] or text[: found.start()].rstrip().endswith("*/")
        if not (fits(name, value) or (SPACE.fullmatch(name) and explained)):
            yield f"{name}: {value}"


def fits(name: str, value: str) -> bool:
    """Whether a declaration names tokens where it must."""
    named = re.sub(r"var\(--[\w-]+\)", "", value)
    words = set(re.findall(r"#\w+|(?<![\w#-])[a-z][\w-]*", re.sub(WITH_UNIT, "", named)))
    if name.startswith("--"):
        return False
    if name == "font-size":
        return re.fullmatch(r"var\(--text-[a-z]+\)", value) is not None
    if name == "font":
        return value == "inherit"
    if SPACE.fullmatch(name) or name == "border-radius":
        return not WITH_UNIT.search(named)
    if re.fullmatch(r"(animation|transition)(-[a-z]+)?", name):
        return not re.search(r"\d m?s\b|\dm?s\b", named)
    return not COLOUR.fullmatch(name) or words <= NOT_A_COLOUR


@pytest.mark.parametrize("sheet", [one for one in SHEETS if one != TOKENS], ids=lambda sheet: sheet.stem)
def test_sizes_spaces_and_colours_are_named_in_the_tokens(sheet):
    assert list(offences(sheet.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    "planted",
    [
        "font-size: 1.1rem;", "font-size: clamp(1rem, 2vw, 3rem);", "font-size: larger;", "font: 12px / 1 serif;",
        "padding: 4px var(--space-1);", "gap: 0.5rem;", "margin-left: calc(-1 * 3px);", "border-radius: 50%;",
        "color: #fff;", "background: white;", "border: 1px solid rgb(1 2 3);", "fill: red;", "stroke: #ff9a55;",
        "box-shadow: 0 1px 2px black;", "animation: rise 160ms ease-out;", "--paper: var(--card);",
    ],
)  # fmt: skip
def test_a_raw_size_space_or_colour_is_caught(planted):
    assert list(offences(f".planted {{\n  {planted}\n}}\n")) == [planted.rstrip(";")]


@pytest.mark.parametrize("why", ["padding: 4px; /* drawn */", "/* drawn */\n  padding: 4px;"])
def test_a_space_may_be_written_where_a_comment_says_why(why):
    assert list(offences(f".drawn {{\n  {why}\n}}\n")) == []


def test_the_scale_of_type_has_few_steps():
    steps = set(re.findall(r"--text-[a-z]+(?=:)", TOKENS.read_text(encoding="utf-8"))) - {"--text-root"}

    assert 0 < len(steps) <= MOST_TEXT_STEPS


def test_every_token_is_named_and_every_name_is_a_token():
    texts = [plain(sheet.read_text(encoding="utf-8")) for sheet in SHEETS]
    used = set(re.findall(r"var\((--[\w-]+)", "".join(texts)))
    defined = set(re.findall(r"(--[\w-]+):", plain(TOKENS.read_text(encoding="utf-8"))))

    assert used == defined


@pytest.mark.parametrize("sheet", BESIDE, ids=lambda sheet: sheet.stem)
def test_a_sheet_stands_beside_the_component_that_imports_it(sheet):
    component = sheet.with_suffix(".tsx").read_text(encoding="utf-8").splitlines()

    assert f'import "./{sheet.name}";' in component


def test_the_order_of_the_layers_comes_before_every_other_style():
    imports = re.findall(r"^import .*", (PAGE / "app.tsx").read_text(encoding="utf-8"), flags=re.MULTILINE)

    assert imports[0] == 'import "./style/all.css";'
    assert plain(ORDER.read_text(encoding="utf-8")).removeprefix("/**/").lstrip().startswith("@layer ")


@pytest.mark.parametrize("sheet", [one for one in SHEETS if one != ORDER], ids=lambda sheet: sheet.stem)
def test_every_rule_stands_in_a_layer(sheet):
    order = re.findall(r"@layer ([a-z, ]+);", plain(ORDER.read_text(encoding="utf-8")))
    outermost = re.findall(r"^[^ }\n].*", plain(sheet.read_text(encoding="utf-8")), flags=re.MULTILINE)
    rules = [line for line in outermost if line not in ("/**/", "@page {")]

    assert rules
    assert set(rules) <= {f"@layer {name} {{" for name in order[0].split(", ")}
