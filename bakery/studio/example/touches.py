"""What the example's baker felt with a finger: seven trays of the last weeks, the fan on. All invented."""

from datetime import timedelta
from decimal import Decimal

from bakery.craft.drying import hours_to_dry

from ..models import Touch

# days before the first evening, flooded until, °C, %, hours after that and whether it was hard
TRAYS = (
    (7, "21:40", "19.0", "57", ((10.0, True),)),
    (11, "22:00", "18.5", "60", ((9.5, False), (20.5, True))),
    (14, "21:15", "19.5", "55", ((10.5, True),)),
    (18, "22:10", "19.0", "58", ((9.0, False), (14.0, True))),
    (21, "21:30", "20.0", "52", ((10.0, True),)),
    (26, "21:50", "18.5", "62", ((10.0, False), (21.0, True))),
    (29, "20:50", "19.0", "56", ((3.5, True),)),  # a crust, taken for hard: held back
)


def fill_touches(dates) -> list[Touch]:
    """One row a touch, with the time that the book gave for the room of that evening."""
    return Touch.objects.bulk_create(
        Touch(
            job=f"past.{days}.flood.1",
            at=laid + timedelta(hours=hours),
            wet_since=laid,
            hard=hard,
            air=Touch.Air.FAN,
            temperature_c=Decimal(warm),
            humidity_percent=Decimal(damp),
            measured=True,
            model_hours=Decimal(f"{hours_to_dry(float(warm), float(damp) / 100, air='fan'):.2f}"),
        )
        for days, clock, warm, damp, touches in TRAYS
        for laid in (dates.at(-days, clock),)
        for hours, hard in touches
    )
