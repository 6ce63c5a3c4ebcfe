"""What the compiler and the plan need to know of the shop."""

from typing import Annotated

from msgspec import Meta, Struct

Celsius = Annotated[float, Meta(ge=0, le=45)]
Humidity = Annotated[float, Meta(ge=5, le=95)]
Count = Annotated[int, Meta(ge=0, le=9999)]


class Shop(Struct, frozen=True, forbid_unknown_fields=True):
    """A shop's usual air, clamps and labels.

    celsius, humidity (%): usual at the bench. least_humidity, most_humidity: over the year, where pieces will stand.
    clamps: by kind, how many; empty when nobody has counted. labels: by glue, figures from its container
    (trade.glue.ON_THE_LABEL).
    """

    celsius: Celsius = 20
    humidity: Humidity = 50
    least_humidity: Humidity = 30
    most_humidity: Humidity = 70
    clamps: dict[str, Count] = {}
    labels: dict[str, dict[str, float]] = {}
