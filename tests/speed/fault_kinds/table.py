"""The table that is printed: a line for each kind of fault, and the figures over all of them."""

from collections.abc import Sequence

from speed.fault_kinds.judgement import Outcome

HEAD = f"{'kind':<24}{'tries':>6}{'lost':>6}{'early':>6}{'missed':>7}{'doubled':>8}{'recover s':>10}{'took s':>8}"
SUMMED = (("tried", "tries"), ("lost", "lost"), ("early", "early"), ("missed", "missed"), ("doubled", "doubled"))
"""A figure's name, and the field that is summed."""


def line(name: str, one: Outcome, took_s: float) -> str:
    """One line of the table, and a further one for each broken promise."""
    recover = "-" if one.recover_s is None else f"{one.recover_s:.1f}"
    figures = f"{one.tries:>6}{one.lost:>6}{one.early:>6}{one.missed:>7}{one.doubled:>8}{recover:>10}{took_s:>8.1f}"
    return "\n".join([f"{name:<24}{figures}", *(f"    {sentence}" for sentence in one.broken)])


def totals(outcomes: Sequence[Outcome]) -> list[str]:
    """The figures over all kinds, as `name: value`."""
    sums = [f"faults_{name}: {sum(getattr(one, field) for one in outcomes)}" for name, field in SUMMED]
    worst = max((one.recover_s for one in outcomes if one.recover_s is not None), default=0.0)
    broken = sum(len(one.broken) for one in outcomes)
    return [*sums, f"faults_broken: {broken}", f"faults_recover_worst_s: {worst:.1f}"]
