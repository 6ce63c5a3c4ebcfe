"""A pseudorandom generator that gives the same numbers on every machine: xorshift32 (Marsaglia 2003, from memory)."""

from collections.abc import Sequence
from typing import TypeVar

Thing = TypeVar("Thing")

WORD = 0xFFFFFFFF


class Random:
    """A stream of whole numbers determined by its seed, any whole number."""

    def __init__(self, seed: int) -> None:
        self.state = (seed * 2654435761 + 1) & WORD or 1  # from state 0, xorshift gives nothing but 0

    def below(self, count: int) -> int:
        """One of 0 … count - 1; count at least 1."""
        x = self.state
        x ^= (x << 13) & WORD
        x ^= x >> 17
        x ^= (x << 5) & WORD
        self.state = x
        return x % count

    def around(self, spread: int) -> int:
        """One of -spread … spread."""
        return self.below(2 * spread + 1) - spread

    def one_of(self, things: Sequence[Thing]) -> Thing:
        """One of these; there must be at least one."""
        return things[self.below(len(things))]
