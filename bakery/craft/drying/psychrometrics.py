"""Moist air: the few formulas the drying model needs.

Temperatures in C, pressures in Pa, relative humidity as a share in [0, 1].
"""

from math import exp, log

__all__ = [
    "dew_point",
    "humidity_indoors",
    "saturation_pressure",
    "saturation_slope",
    "vapour_pressure",
]


def saturation_pressure(t_c: float) -> float:
    """Pressure of saturated water vapour over liquid water [Pa] at `t_c` [C].

    Buck (1996), the revision of Buck, J. Appl. Meteorol. 20 (1981) 1527-1532; stated for -40 to 50 C.
    Raises ValueError outside -40 to 60 C, where no kitchen is.
    """
    if not -40 <= t_c <= 60:
        raise ValueError(f"A temperature of {t_c} C is outside -40 to 60 C.")
    return 611.21 * exp((18.678 - t_c / 234.5) * t_c / (257.14 + t_c))


def saturation_slope(t_c: float) -> float:
    """Slope of the saturation pressure [Pa/K] at `t_c` [C]: the derivative of `saturation_pressure`."""
    upper = 257.14 + t_c
    inner = (18.678 - 2 * t_c / 234.5) / upper - (18.678 - t_c / 234.5) * t_c / upper**2
    return saturation_pressure(t_c) * inner


def vapour_pressure(t_c: float, humidity: float) -> float:
    """Partial pressure of the water vapour [Pa] in air of `t_c` [C] and relative humidity [0, 1]."""
    if not 0 <= humidity <= 1:
        raise ValueError(f"A relative humidity of {humidity} is outside 0 to 1.")
    return humidity * saturation_pressure(t_c)


def dew_point(t_c: float, humidity: float) -> float:
    """Temperature [C] at which this air would begin to wet a surface.

    Inverts Buck 1996 by Newton's method, started from the Magnus form. Raises ValueError when the air is bone
    dry.
    """
    if humidity <= 0:
        raise ValueError("Air without any water has no dew point.")
    wanted = vapour_pressure(t_c, humidity)
    ratio = log(wanted / 611.21)
    guess = max(-39.0, 243.04 * ratio / (17.625 - ratio))
    for _ in range(20):
        step = (saturation_pressure(guess) - wanted) / saturation_slope(guess)
        guess = min(60.0, max(-40.0, guess - step))
        if abs(step) < 1e-9:
            break
    return guess


def humidity_indoors(t_outside: float, humidity_outside: float, t_inside: float) -> float:
    """Relative humidity [0, 1] that outside air has once it stands in the kitchen, no water added.

    A weather report is not the kitchen: the same vapour in warmer air is drier air. Capped at 1.
    """
    return min(1.0, vapour_pressure(t_outside, humidity_outside) / saturation_pressure(t_inside))
