"""How the help of a command ends."""


def examples(*lines: str) -> str:
    """The end of a command's help: examples, one a line."""
    return "examples:\n" + "\n".join(f"  {line}" for line in lines)
