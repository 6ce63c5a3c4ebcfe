"""The range of the shop's air in which the trade's figures hold."""

from benchbell.findings import OutsideValidity

LEAST_CELSIUS, MOST_CELSIUS = 0, 45


def require_usual(celsius: float, humidity: float) -> None:
    """Raises OutsideValidity outside 0 to 45 °C or 0 to 100 % relative humidity, and for NaN."""
    if not LEAST_CELSIUS <= celsius <= MOST_CELSIUS:
        raise OutsideValidity(
            f"{celsius:g} °C is outside {LEAST_CELSIUS} to {MOST_CELSIUS} °C, where this figure holds.",
            "Read the thermometer again, or warm or cool the shop first.",
        )
    if not 0 <= humidity <= 100:
        raise OutsideValidity(
            f"{humidity:g} % relative humidity is outside 0 to 100 %.", "Read the hygrometer again and give percent."
        )
