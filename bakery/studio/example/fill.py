"""Fill an empty studio with the example, in one transaction."""

from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone

from ..models import BakingHours, Counter, HoursChange, Reading, Studio
from .colours import fill_cupboard
from .cupboard import fill_packets
from .dates import EVENING, EVENINGS, LATE_END, LONG, LONG_DAY, Dates, dates_for
from .designs import fill_designs
from .orders import fill_open
from .past import fill_past
from .people import fill_people
from .quotes import fill_options, fill_quotes
from .stall import fill_stall
from .touches import fill_touches
from .wanted import LAST_NUMBER

ABOUT = {
    "name": "Lantern Steps",
    "strapline": "Cookies made to order at home, Ostrey Harbour",
    "address": "4 Lantern Steps, Ostrey Harbour",
    "phone": "01632 960412",
    "email": "hello@lanternsteps.example",
    "terms": "The deposit holds the date. Changes until 14 days before; the balance is due 7 days before.",
}


@transaction.atomic
def fill_example(now: datetime) -> Studio:
    """The whole example as it stands at `now` (aware). The caller sees to it that the studio is empty."""
    dates = dates_for(now, timezone.get_default_timezone())
    studio = fill_studio(dates, now)
    colours = fill_cupboard(dates)
    designs = fill_designs(colours)
    people = fill_people(dates)
    fill_past(dates, people, designs)
    fill_open(dates, people, designs)
    fill_quotes(now)
    fill_options()
    fill_stall(dates, designs)
    fill_packets(dates)
    fill_touches(dates)
    Counter.objects.update_or_create(name="order", defaults={"value": LAST_NUMBER})
    return studio


def fill_studio(dates: Dates, now: datetime) -> Studio:
    studio = Studio(pk=1, is_example=True, started_at=now, **ABOUT)
    studio.full_clean(validate_unique=False, validate_constraints=False)
    studio.save()
    BakingHours.objects.bulk_create(
        BakingHours(weekday=dates.weekday(day), start=start, end=end)
        for day, stretches in [*((day, (EVENING,)) for day in EVENINGS), (LONG, LONG_DAY)]
        for start, end in stretches
    )
    if dates.late_start:
        HoursChange.objects.create(
            date=dates.first,
            kind=HoursChange.Kind.INSTEAD,
            start=dates.late_start,
            end=LATE_END,
            reason="began late",
        )
    Reading.objects.bulk_create(
        Reading(at=now - timedelta(hours=hours), temperature_c=warm, humidity_percent=damp, fan=True)
        for hours, warm, damp in ((0.6, "18.5", "61"), (24.6, "19.0", "58"), (49, "18.5", "56"))
    )
    return studio


def plan_example(now: datetime) -> str:
    """Work out the example's first plan, so that Tonight is there at once; outside any transaction."""
    from bakery.production.services.plans import make_plan

    return make_plan(now=now, reason="the example was opened")
