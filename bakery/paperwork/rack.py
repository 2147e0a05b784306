"""The rack overnight: which trays dry until when, and which only wait."""

from datetime import datetime, timedelta

from django.db.models import Q

from bakery.production import words
from bakery.production.models import Job, JobShare
from bakery.production.queries.days import ended

from .moments import when

AFTER = {"bake": "baked", "flood": "flooded", "spray": "sprayed", "icing_pass": "iced through the stencil",
         "pipe": "piped", "letter": "lettered", "transfer": "transfers on", "wafer": "wafer paper on",
         "brush": "painted"}  # fmt: skip
MOST = 14


def overnight(it) -> list[dict]:
    """One row for the trays of one order at one stage, soonest dry first; the last of them counts."""
    groups: dict[tuple, list] = {}
    for row in _rows(it):
        groups.setdefault((row[0].order_id, row[0].kind, row[2] is None), []).append(row)
    stacks = [
        (members, max((row[2] for row in members if row[2]), default=None)) for members in groups.values()
    ]
    stacks.sort(key=lambda stack: (stack[1] is None, stack[1] or it.end, stack[0][0][0].key))
    longest = max((until - it.end for _, until in stacks if until), default=timedelta(0)) or timedelta(
        hours=1
    )
    found = [_row(it, *stack, longest, seed) for seed, stack in enumerate(stacks, 1)]
    return found[:MOST] + _more(found[MOST:])


def _rows(it) -> list[tuple]:
    """(job, rack places, dry on a slow night or None) of every tray that stands there at midnight."""
    keys = _times(it)
    found = []
    for work in it.works.values():
        for place in work.places:
            job = keys.get(place.after) if place.resource == "rack" else None
            if job is None or not _stands(place, job, keys, it.end):
                continue
            dry = it.drying(job.key)
            until = None
            if dry and not dry.get("never"):
                until = ended(job) + timedelta(minutes=dry["slow"])
            found.append(
                (job, place.amount, until if until and until > it.end - timedelta(hours=6) else None)
            )
    return found


def _times(it) -> dict[str, Job]:
    """Rows of every planned order by the core's name; of a job in parts, the last part."""
    numbers = [int(key[1:]) for key in it.works if key[1:].isdigit()]
    shared = JobShare.objects.filter(order__number__in=numbers).values("job")
    mine = Q(order__number__in=numbers) | Q(pk__in=shared)
    rows = Job.objects.filter(mine).select_related("order").prefetch_related("shares__order")
    return {row.key.split("/")[0]: row for row in rows.order_by("planned_start", "key")}


def _stands(place, job: Job, keys, midnight: datetime) -> bool:
    if (job.planned_start or job.started_at) is None or ended(job) > midnight:
        return False
    if place.minutes is not None and ended(job) + timedelta(minutes=place.minutes) <= midnight:
        return False
    later = keys.get(place.until) if place.until else None
    if later is None:
        return place.minutes is not None
    begins = later.started_at or later.planned_start
    return begins is None or begins > midnight


def _row(it, members, until, longest, seed) -> dict:
    job = members[0][0]
    trays = sum(places for _, places, _ in members)
    share = (until - it.end) / longest if until else 0
    return {
        "places": words.counted(trays, "tray"),
        "what": f"{words.listed([order.title for order in job.served])}, {AFTER.get(job.kind, job.kind)}",
        "state": "drying" if until else "dry",
        "share": round(min(1.0, max(0.1, share)), 2),
        "seed": seed,
        "dry_by": when(until) if until else "any time",
    }


def _more(rest) -> list[dict]:
    if not rest:
        return []
    return [{"places": "", "what": f"and {len(rest)} more", "state": "dry", "dry_by": ""}]
