"""When is icing dry? Moist air, the drying of one coat, and the waits that follow from a room."""

from .crowding import Crowd, crowding
from .layer import AIR, HUMIDITY_LIMIT, MILESTONES, Coat, hours_to_dry, water_curve, water_left
from .learning import Learnt, Touch, learn
from .levers import Lever, levers_of, warmed
from .months import TYPICAL, typical_room
from .psychrometrics import (
    dew_point,
    humidity_indoors,
    saturation_pressure,
    saturation_slope,
    vapour_pressure,
)
from .times import WAITS, Bias, DryingTimes, Room, Span, times, unmeasured_spread

__all__ = [
    "AIR",
    "HUMIDITY_LIMIT",
    "MILESTONES",
    "TYPICAL",
    "WAITS",
    "Bias",
    "Coat",
    "Crowd",
    "DryingTimes",
    "Learnt",
    "Lever",
    "Room",
    "Span",
    "Touch",
    "crowding",
    "dew_point",
    "hours_to_dry",
    "humidity_indoors",
    "learn",
    "levers_of",
    "saturation_pressure",
    "saturation_slope",
    "times",
    "typical_room",
    "unmeasured_spread",
    "vapour_pressure",
    "warmed",
    "water_curve",
    "water_left",
]
