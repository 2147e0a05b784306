"""How long one coat of royal icing takes to dry: three resistances in series, in closed form.

The icing is sugar crystals in saturated syrup. While syrup is left its water activity stays near that of
saturated sucrose; near the end the bound water's activity falls towards the room's. A dried shell of growing
depth covers the wet core, so vapour crosses an air film and the shell, while evaporation cools the surface.
Integrating the drying rate over the water content gives a time of the form A*h + B*h^2 (h = thickness).

The saturated activity is Norrish (1966) as used by Chirife et al. (1982) at 25 C; the isotherm shape follows
the sucrose points of Sloan & Labuza (1975); the saturation pressure is Buck (1996). The film coefficient, the
shell's diffusivity and the crust and touch marks are fitted to common practice, no source. Not a food-safety
model.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import exp, log

from .psychrometrics import saturation_pressure, saturation_slope, vapour_pressure

__all__ = ["AIR", "HUMIDITY_LIMIT", "MILESTONES", "Coat", "hours_to_dry", "water_curve", "water_left"]

GAS = 8.314
"""Gas constant [J/(mol K)]."""
MOLAR_WATER = 0.018015
"""Molar mass of water [kg/mol]."""
LATENT = 2.45e6
"""Latent heat of evaporation near room temperature [J/kg]."""
SATURATED = 0.85
"""Water activity of saturated sucrose syrup [-]."""
ISOTHERM = 2.8
"""Scale X1 of the isotherm a(X) = a_s (1 - exp(-X/X1)) [g water per 100 g solids]."""
HARD = 5.0
"""Water at which the layer is hard through [g per 100 g solids]; fitted to "no decorating above 70 %"."""
SHELL = 6.6e-6
"""Vapour diffusivity of the dried shell [m2/s]; fitted to practice."""
CRUST_MASS, TOUCH_MASS = 0.040, 0.15
"""Water evaporated at crust and at touch-dry [kg/m2]; fitted to practice."""
STENCIL_SHARE = 0.70
"""Share of the removable water that is gone when a careful hand can stencil already [-]."""
STEPS = 200
"""Points of the midpoint sum for the shell integral."""
TABLE = 40
"""Rows of the table from which a drying curve is read."""

AIR = {"still": 0.0034, "fan": 0.0133, "dryer": 0.0133}
"""Film coefficient k by kind of air [m/s]; fitted to practice, quiet-air physics gives about 0.003."""
DRYER_C = 35.0
"""Temperature inside the dryer (dehydrator on its low setting) [C]."""
DRYER_FLOOR = 0.40
"""A dryer never counts for less than this share of the still-air time: its fast air makes a glassy skin."""

MILESTONES = ("crust", "touch", "stencil", "through")
HUMIDITY_LIMIT = SATURATED * (1 - exp(-HARD / ISOTHERM))
"""Room humidity above which icing never gets hard through [-], 0.707; promised only below 0.70."""
PROMISE_LIMIT = 0.70


@dataclass(frozen=True)
class Coat:
    """Wet icing: thickness [mm], density [kg/m3], mass fraction of water, share drunk by the cookie."""

    thickness_mm: float = 2.5
    density: float = 1250.0
    water: float = 0.20
    uptake: float = 0.15

    def __post_init__(self):
        if not 0.1 <= self.thickness_mm <= 30:
            raise ValueError(f"A coat of {self.thickness_mm} mm is outside 0.1 to 30 mm.")
        if not 0.02 <= self.water <= 0.6 or not 0 <= self.uptake < 1 or not 200 <= self.density <= 3000:
            raise ValueError("Such an icing does not exist: check its water, density and uptake.")

    @property
    def solids(self) -> float:
        """Dry solids that the room must rid of their water [kg/m2]."""
        return self.density * self.thickness_mm / 1000 * (1 - self.water) * (1 - self.uptake)

    @property
    def start(self) -> float:
        """Water at the start [g per 100 g solids]."""
        return 100 * self.water / (1 - self.water)


def _equilibrium(humidity: float) -> float:
    """Water left in balance with the room [g per 100 g solids]; infinite where icing melts."""
    if humidity >= SATURATED:
        return float("inf")
    return -ISOTHERM * log(1 - humidity / SATURATED)


def _target(coat: Coat, humidity: float, milestone: str) -> float:
    """Water content [g per 100 g solids] at which the milestone is reached."""
    if milestone == "through":
        return HARD
    if milestone == "stencil":
        return coat.start - STENCIL_SHARE * (coat.start - HARD)
    lost = 100 * (CRUST_MASS if milestone == "crust" else TOUCH_MASS) / coat.solids
    return coat.start - min(lost, 0.6 * (coat.start - HARD))


def _film_integral(coat: Coat, humidity: float, until: float) -> float:
    gap = SATURATED - humidity

    def g(x: float) -> float:
        return (x + ISOTHERM * log(gap - SATURATED * exp(-x / ISOTHERM))) / gap

    return g(coat.start) - g(until)


def _shell_integral(coat: Coat, humidity: float, until: float) -> float:
    """Midpoint sum, with the points crowded towards the dry end where the integrand is steep."""
    span, total = coat.start - until, 0.0
    for i in range(STEPS):
        low, high = (i / STEPS) ** 2, ((i + 1) / STEPS) ** 2
        x = until + span * (low + high) / 2
        activity = SATURATED * (1 - exp(-x / ISOTHERM))
        total += (coat.start - x) / coat.start / (activity - humidity) * span * (high - low)
    return total


@lru_cache(maxsize=4096)
def hours_to_dry(
    t_c: float, humidity: float, milestone: str = "through", coat: Coat | None = None, air: str = "still"
) -> float | None:
    """Hours until a coat reaches a milestone in a room; None when it never does.

    `t_c` in C (5 to 45), `humidity` in [0, 1], `milestone` one of MILESTONES, `air` one of AIR.
    Above 70 % the later milestones are None: "no", not a big number. Raises ValueError outside these ranges.
    """
    coat = coat or Coat()
    if milestone not in MILESTONES:
        raise ValueError(f"There is no milestone called {milestone!r}.")
    if air not in AIR:
        raise ValueError(f"There is no air called {air!r}.")
    if not 5 <= t_c <= 45:
        raise ValueError(f"A room of {t_c} C is outside 5 to 45 C.")
    if not 0 <= humidity <= 1:
        raise ValueError(f"A relative humidity of {humidity} is outside 0 to 1.")
    if air != "dryer":
        return _hours(t_c, humidity, milestone, coat, air)
    # Its fast air makes a glassy skin, which sets a floor under the model's time.
    quick = _hours(*_in_dryer(t_c, humidity), milestone, coat, "dryer")
    still = _hours(t_c, humidity, milestone, coat, "still")
    if quick is None:
        return None
    if still is None:  # a wet room has no still-air time: take the floor from the wettest room that has one
        still = _hours(t_c, PROMISE_LIMIT - 0.01, milestone, coat, "still") or quick
    return max(quick, DRYER_FLOOR * still)


def _hours(t_c: float, humidity: float, milestone: str, coat: Coat, air: str) -> float | None:
    late = milestone in ("stencil", "through")
    until = _target(coat, humidity, milestone)
    if (late and humidity >= PROMISE_LIMIT) or until <= _equilibrium(humidity) + 1e-9:
        return None
    if until >= coat.start:
        return 0.0
    return _hours_to_water(t_c, humidity, until, coat, air)


def _in_dryer(t_c: float, humidity: float) -> tuple[float, float]:
    """Temperature and humidity inside the dryer: the room's own vapour in warmer air."""
    inside = max(DRYER_C, t_c)
    return inside, min(1.0, vapour_pressure(t_c, humidity) / saturation_pressure(inside))


def water_left(
    hours: float, t_c: float, humidity: float, coat: Coat | None = None, air: str = "still"
) -> float:
    """Share [0, 1] of the removable water still in the coat after `hours`: 1 when wet, 0 when hard through.

    Found by bisection on the water content; the screens draw their drying mist from it.
    """
    coat = coat or Coat()
    t, h = _in_dryer(t_c, humidity) if air == "dryer" else (t_c, humidity)
    end = max(HARD, _equilibrium(h) + 0.05)
    if hours <= 0 or end >= coat.start:
        return 1.0
    through = hours_to_dry(t_c, humidity, "through", coat, air)
    if through is not None:
        if hours >= through:
            return 0.0
        hours *= _hours_to_water(t, h, HARD, coat, air) / through  # the dryer's floor stretches its curve
    low, high = end, coat.start
    for _ in range(40):
        middle = (low + high) / 2
        if _hours_to_water(t, h, middle, coat, air) > hours:
            low = middle
        else:
            high = middle
    return max(0.0, min(1.0, (high - end) / (coat.start - end)))


def water_curve(
    hours: float,
    points: int,
    t_c: float,
    humidity: float,
    coat: Coat | None = None,
    air: str = "still",
) -> tuple[float, ...]:
    """`water_left` at `points` equal steps from 0 to `hours`, read off a table of the closed form: within a
    hundredth of it, at a fraction of the work.
    """
    coat = coat or Coat()
    if points < 2:
        raise ValueError("A curve needs two points.")
    t, h = _in_dryer(t_c, humidity) if air == "dryer" else (t_c, humidity)
    end = max(HARD, _equilibrium(h) + 0.05)
    if end >= coat.start:
        return (1.0,) * points
    through = hours_to_dry(t_c, humidity, "through", coat, air)
    stretch = 1.0 if through is None else through / _hours_to_water(t, h, HARD, coat, air)
    shares = [1 - (i / TABLE) ** 0.5 if i else 1.0 for i in range(TABLE + 1)]
    at = [stretch * _hours_to_water(t, h, end + s * (coat.start - end), coat, air) for s in shares]
    found, low = [], 0
    for i in range(points):
        now = hours * i / (points - 1)
        while low + 2 < len(at) and at[low + 1] < now:
            low += 1
        part = (now - at[low]) / ((at[low + 1] - at[low]) or 1.0)
        found.append(max(0.0, min(1.0, shares[low] + part * (shares[low + 1] - shares[low]))))
    return tuple(found)


def _hours_to_water(t_c: float, humidity: float, until: float, coat: Coat, air: str) -> float:
    """The closed form itself: hours from the start down to `until` g of water per 100 g solids."""
    film = AIR[air]
    pressure, slope = saturation_pressure(t_c), saturation_slope(t_c)
    q = GAS * (t_c + 273.15) / MOLAR_WATER
    j0 = _film_integral(coat, humidity, until)
    j1 = _shell_integral(coat, humidity, until)
    cooling = LATENT * slope / (1080 * film + 10.5) * ((coat.start - until) + humidity * j0)
    shell = q * coat.thickness_mm / 1000 * j1 / SHELL
    return coat.solids / (100 * pressure) * (q * j0 / film + cooling + shell) / 3600
