"""Tools that can be out: those of the kitchen, and the stencils that planned work needs."""

from bakery.studio.models import Outage

from .. import words
from ..models import Job

ALWAYS = ("airbrush", "oven")


def tools() -> list[str]:
    """Resource names, the usual ones first."""
    used = Job.objects.exclude(state=Job.State.DONE).values_list("uses", flat=True)
    stencils = sorted({name for uses in used for name in uses if name.startswith("stencil/")})
    return [*ALWAYS, *stencils]


def outage_rows(start, end) -> list[Outage]:
    """Tools that are out at some time between."""
    return list(Outage.objects.filter(start__lt=end, end__gt=start).exclude(resource="hands"))


def outages_now(now, *, before=None) -> list[dict]:
    """What is out now or soon (or out at some time `before` a moment), in words."""
    rows = Outage.objects.filter(end__gt=now).exclude(resource="hands").order_by("end", "pk")
    rows = rows if before is None else rows.filter(start__lte=before)
    return [
        {"pk": row.pk, "words": f"{words.capital(words.tool_name(row.resource))} is out until "
                                f"{words.day_and_time(row.end, now)}."}
        for row in rows
    ]  # fmt: skip
