"""When is icing dry? Moist air, the drying of one coat, and the waits that follow from a room."""

from .layer import AIR, HUMIDITY_LIMIT, MILESTONES, Coat, hours_to_dry, water_left
from .learning import Learnt, Touch, learn
from .psychrometrics import (
    dew_point,
    humidity_indoors,
    saturation_pressure,
    saturation_slope,
    vapour_pressure,
)
from .times import WAITS, Bias, DryingTimes, Room, Span, times

__all__ = [
    "AIR",
    "HUMIDITY_LIMIT",
    "MILESTONES",
    "WAITS",
    "Bias",
    "Coat",
    "DryingTimes",
    "Learnt",
    "Room",
    "Span",
    "Touch",
    "dew_point",
    "hours_to_dry",
    "humidity_indoors",
    "learn",
    "saturation_pressure",
    "saturation_slope",
    "times",
    "vapour_pressure",
    "water_left",
]
