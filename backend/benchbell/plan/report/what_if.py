"""What would a change bring: more clamps, another glue, other hours, more hands; presented as a difference."""

from collections.abc import Callable, Mapping, Sequence

from msgspec.structs import replace

from benchbell.durations import MINUTE_MS
from benchbell.plan.report.messages import Difference, PresentedPlan, WhatIf
from benchbell.plan.tasks.task import OpenBuild
from benchbell.recipe.measure import TIME, show
from benchbell.recipe.sheet import ClockSpec, Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.times import with_glue
from benchbell.trade.glue import Glue, glue_named


def with_clamps(clamps: Mapping[str, int], more: Mapping[str, int]) -> dict[str, int]:
    """The shop's clamps with some more or fewer, by kind. A kind that the shop has not counted is never short."""
    return dict(clamps) | {kind: max(0, clamps[kind] + count) for kind, count in more.items() if kind in clamps}


def with_glues(builds: Sequence[OpenBuild], instead: Mapping[str, str], shop: ShopProfile) -> tuple[OpenBuild, ...]:
    """The builds with other glues. instead: a glue to the one in its place. Raises Refused for an unknown glue."""
    glues = {old: glue_named(new, shop.labels.get(new)) for old, new in instead.items()}
    return tuple(replace(build, sheet=reglued(build, glues, shop)) for build in builds)


def reglued(build: OpenBuild, glues: Mapping[str, Glue], shop: ShopProfile) -> Sheet:
    """The build's sheet with the clocks of other glues. glues: the new one by the old one's name."""

    def clock(spec: ClockSpec) -> ClockSpec:
        return with_glue(spec, glues[spec.glue], shop) if spec.glue in glues else spec

    operations = tuple(replace(op, clocks=tuple(map(clock, op.clocks))) for op in build.sheet.operations)
    return replace(build.sheet, operations=operations)


def difference(before: PresentedPlan, after: PresentedPlan, what: WhatIf, say: Callable[[int], str]) -> Difference:
    """The second plan compared with the first. say: a moment in ms in words."""
    return Difference(
        finish=after.finish,
        sooner_ms=before.finish - after.finish,
        changes=after.changes,
        fewer_changes=before.changes - after.changes,
        sentence=sentence(before, after, what, say),
        forecasts=after.forecasts,
    )


def sentence(before: PresentedPlan, after: PresentedPlan, what: WhatIf, say: Callable[[int], str]) -> str:
    """What the change brings, in one sentence."""
    with_ = f"With {' and '.join(named(what)) or 'nothing changed'}"
    fewer = before.changes - after.changes
    setups = f", with {setups_in_words(abs(fewer))} {'fewer' if fewer > 0 else 'more'}" if fewer else ""
    gain = (before.finish - after.finish) // MINUTE_MS
    if not gain:
        return f"{with_} you are done at the same time: {say(after.finish)}{setups}."
    than = f"{show(abs(gain), TIME, 'mm')} {'sooner' if gain > 0 else 'later'} than {say(before.finish)}"
    return f"{with_} you are done {say(after.finish)}, {than}{setups}."


def named(what: WhatIf) -> list[str]:
    """What is changed, in words."""
    clamps = [clamps_in_words(kind, abs(n), "more" if n > 0 else "fewer") for kind, n in what.clamps.items() if n]
    glues = [f"{glue_named(new).title} in place of {glue_named(old).title}" for old, new in what.glue.items()]
    hours = [f"hours of {what.hours}"] if what.hours else []
    saturday = ["Saturday worked"] if what.saturday else []
    hands = [f"{what.hands} pairs of hands"] if what.hands > 1 else []
    return [*clamps, *glues, *hours, *saturday, *hands]


def clamps_in_words(kind: str, count: int, than: str) -> str:
    """As "1 more bar clamp", "2 fewer bar clamps"."""
    return f"{count} {than} {kind} {'clamp' if count == 1 else 'clamps'}"


def setups_in_words(count: int) -> str:
    """As "1 setup", "2 setups"."""
    return "1 setup" if count == 1 else f"{count} setups"
