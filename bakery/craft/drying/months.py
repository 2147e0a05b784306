"""The air of an ordinary kitchen by month, for nights about which no reading says anything."""

from collections.abc import Sequence

from .times import Room

__all__ = ["TYPICAL", "typical_room"]

TYPICAL = (0.45, 0.45, 0.46, 0.48, 0.50, 0.53, 0.55, 0.56, 0.54, 0.52, 0.49, 0.46)
"""Relative humidity indoors, January to December [-], in a heated house of a mild, damp climate. Ours, no
source: her own twelve figures take their place."""


def typical_room(month: int, humidities: Sequence[float] = ()) -> Room:
    """The room of a month (1 to 12), from twelve humidities of her own [0, 1] or else from TYPICAL.

    It was not measured. Raises ValueError for another month, or another number of humidities than twelve.
    """
    if not 1 <= month <= 12:
        raise ValueError(f"There is no month {month}.")
    if humidities and len(humidities) != 12:
        raise ValueError("A year has twelve months.")
    return Room(humidity=float((humidities or TYPICAL)[month - 1]))
