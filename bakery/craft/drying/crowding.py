"""What wet trays give off: a caution for closed boxes, small rooms and crowded racks.

Plain arithmetic of water and volume, not a model of a ventilated room.
"""

from dataclasses import dataclass

from .layer import GAS, HARD, MOLAR_WATER, Coat
from .psychrometrics import saturation_pressure

__all__ = ["Crowd", "crowding"]

AIR_CHANGES = 0.5
"""Times an hour the air of a room with shut windows is renewed. Common practice, no source."""


@dataclass(frozen=True)
class Crowd:
    """Water [g] that so many cookies give off until they are hard, and the rise of relative humidity
    [0, 1]: `ventilated` at the usual renewal of air, `shut` if nothing left the room.
    """

    water_g: float
    ventilated: float
    shut: float


def crowding(
    cookies: int, area_cm2: float, hours: float, *, coat: Coat | None = None, t_c: float = 20.5,
    volume_m3: float = 30.0,
) -> Crowd:  # fmt: skip
    """The air around `cookies` of `area_cm2` that dry within `hours`, in a room of `volume_m3`.

    Water given off = solids x area x (start - end water); of a perfect gas in the room's volume the humidity
    rises by m R T / (M V p_s). Raises ValueError for a negative number or a room without air.
    """
    coat = coat or Coat()
    if cookies < 0 or area_cm2 < 0 or not hours > 0 or not volume_m3 > 0:
        raise ValueError("A crowd needs cookies, hours and a room.")
    per_m2 = coat.solids * (coat.start - HARD) / 100
    kilos = per_m2 * cookies * area_cm2 / 1e4
    full = kilos * GAS * (t_c + 273.15) / (MOLAR_WATER * volume_m3 * saturation_pressure(t_c))
    return Crowd(1000 * kilos, full / (1 + AIR_CHANGES * hours), full)
