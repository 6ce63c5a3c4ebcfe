"""The range of the shop's air in which the trade's figures hold, and temperatures in both scales."""

from benchbell.findings import OutsideValidity

LEAST_CELSIUS, MOST_CELSIUS = 0, 45


def celsius_of(fahrenheit: float) -> float:
    """Degrees Celsius of degrees Fahrenheit, to a millionth: 48.2 °F is 9 °C and not a little more."""
    return round((fahrenheit - 32) / 1.8, 6)


def degrees(celsius: float) -> str:
    """A temperature as text in both scales: `20 °C (68 °F)`."""
    return f"{celsius:.3g} °C ({celsius * 1.8 + 32:.0f} °F)"


def require_usual(celsius: float, humidity: float) -> None:
    """Raises OutsideValidity outside 0 to 45 °C or 0 to 100 % relative humidity, and for NaN."""
    if not LEAST_CELSIUS <= celsius <= MOST_CELSIUS:
        between = f"{degrees(LEAST_CELSIUS)} to {degrees(MOST_CELSIUS)}"
        raise OutsideValidity(
            f"{degrees(celsius)} is outside {between}, where this figure holds.",
            "Read the thermometer again, or warm or cool the shop first.",
        )
    if not 0 <= humidity <= 100:
        raise OutsideValidity(
            f"{humidity:g} % relative humidity is outside 0 to 100 %.", "Read the hygrometer again and give percent."
        )
