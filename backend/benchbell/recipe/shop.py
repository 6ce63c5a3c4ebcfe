"""What the compiler and the plan need to know of the shop."""

from msgspec import Struct


class Shop(Struct, frozen=True):
    """A shop's usual air, clamps and labels.

    celsius, humidity (%): usual at the bench. least_humidity, most_humidity: over the year, where pieces will stand.
    clamps: by kind, how many; empty when nobody has counted. labels: by glue, figures from its container
    (trade.glue.ON_THE_LABEL).
    """

    celsius: float = 20
    humidity: float = 50
    least_humidity: float = 30
    most_humidity: float = 70
    clamps: dict[str, int] = {}
    labels: dict[str, dict[str, float]] = {}
