"""What the compiler and the plan need to know about the shop."""

from collections.abc import Mapping
from typing import Annotated, Any

import msgspec
from msgspec import Meta, Struct

from benchbell.recipe.label_code import slug
from benchbell.trade.air import celsius_of
from benchbell.trade.lengths import MM_PER_INCH

Celsius = Annotated[float, Meta(ge=0, le=45)]
Humidity = Annotated[float, Meta(ge=5, le=95)]
Width = Annotated[float, Meta(gt=0, le=5000)]
Count = Annotated[int, Meta(ge=0, le=9999)]


class ShopProfile(Struct, frozen=True, forbid_unknown_fields=True):
    """A shop's usual air, its clamps and fixtures, and the labels of its glues.

    celsius (°C), humidity (%): usual at the bench. least_humidity, most_humidity (%): over the year, where pieces will
    stand. clamps: count by kind; empty when not counted. fixtures: count of the shop's own by name; one that is not
    counted is there for one operation at a time. widths_mm: by station, the widest work it takes, in mm.
    labels: by glue, figures from its container (trade.glue.ON_THE_LABEL). finishing_room: whether coats dry in a room
    of their own, where no dust gets.
    """

    celsius: Celsius = 20
    humidity: Humidity = 50
    least_humidity: Humidity = 30
    most_humidity: Humidity = 70
    clamps: dict[str, Count] = {}
    fixtures: dict[str, Count] = {}
    widths_mm: dict[str, Width] = {}
    labels: dict[str, dict[str, float]] = {}
    finishing_room: bool = False


def fixture_count(counts: Mapping[str, int], name: str) -> int | None:
    """How many of a fixture the shop has; None when it is not counted. Capitals and spaces make no difference."""
    return {slug(one): count for one, count in counts.items()}.get(slug(name))


def in_base_units(written: dict[str, Any]) -> dict[str, Any]:
    """A shop's settings as a person wrote them, with temperatures in °F turned into °C, and widths in inches into mm.

    `fahrenheit` becomes `celsius`, `least_fahrenheit` of a label `least_celsius`, `widths_in` `widths_mm`. Other values
    stay as they are.
    """
    turned: dict[str, Any] = {}
    for key, value in written.items():
        if key.endswith("fahrenheit") and isinstance(value, int | float):
            turned[key.replace("fahrenheit", "celsius")] = celsius_of(value)
        elif key == "widths_in" and isinstance(value, dict):
            turned["widths_mm"] = {**turned.get("widths_mm", {}), **{name: in_mm(one) for name, one in value.items()}}
        else:
            turned[key] = in_base_units(value) if isinstance(value, dict) else value
    return turned


def in_mm(inches: Any) -> Any:
    """Inches in mm; what is no number stays as it is, for the form to refuse."""
    return inches * MM_PER_INCH if isinstance(inches, int | float) else inches


def profile_from(kept: dict[str, Any]) -> ShopProfile:
    """The shop profile in stored settings; one that has not its form keeps its default."""
    forms = {field.name: field.type for field in msgspec.structs.fields(ShopProfile)}
    return ShopProfile(**{name: kept[name] for name, form in forms.items() if name in kept and fits(kept[name], form)})


def fits(value: Any, form: Any) -> bool:
    """Whether a stored value has the form of its setting."""
    try:
        msgspec.convert(value, form)
    except msgspec.ValidationError:
        return False
    return True
