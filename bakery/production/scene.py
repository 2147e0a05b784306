"""The kitchen as the rows know it, read once: from it the problem with any set of shares."""

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from django.db.models import Q
from django.utils import timezone

from bakery.craft.work import Share, Use, allot, build_problem, job_of_task, share, work_of
from bakery.stock.made_ahead import ahead_items
from bakery.studio import adapters as studio

from .halves import REST, with_rest
from .models import Job, JobShare, KeptApart, Plan

SLOW = timedelta(hours=36)
"""A reading of the room says nothing about nights after this."""


@dataclass(frozen=True)
class Scene:
    """Orders as unshared works, what was done, where things hang, and what goes together on the wall."""

    now: datetime
    shop: object
    padding: float
    calendar: object
    works: dict
    rows: tuple = ()
    facts: tuple = ()
    starts: dict = field(default_factory=dict)
    shares: tuple[Share, ...] = ()
    apart: tuple[Share, ...] = ()
    uses: tuple[Use, ...] = ()
    begun: frozenset = frozenset()

    @property
    def held(self) -> frozenset[str]:
        """Shares of which something was done or begun: they stay."""
        begun = {base_of(fact.job_id) for fact in self.facts}
        return frozenset(one.key for one in self.shares if any(_belongs(name, one.key) for name in begun))

    @property
    def busy(self) -> frozenset[str]:
        """Jobs of single orders about which something is known already."""
        return frozenset(base_of(fact.job_id) for fact in self.facts)

    def shared(self, shares=None):
        """(works by order, shares that took hold) with these shares, by default those on the wall."""
        wanted = self.shares if shares is None else tuple(shares)
        works, taken = share(list(self.works.values()), wanted, held=self.held)
        counts = {
            row.key: row.done_count
            for row in self.rows
            if row.state == Job.State.DONE and row.done_count is not None
        }
        return {work.order.id: with_rest(work, counts) for work in works}, taken

    def problem(self, shares=None):
        """(Problem, works by order, shares that took hold)."""
        works, taken = self.shared(shares)
        problem = self.build(list(works.values()))
        return problem, works, taken

    def build(self, works):
        """The problem of some works, shared or not."""
        return build_problem(
            list(works),
            self.calendar,
            now=self.now,
            facts=self.facts,
            wall=self._wall(works),
            padding=self.padding,
            shop=self.shop,
        )

    def _wall(self, works) -> dict[str, datetime]:
        """Places on the wall; what goes together now takes the first place of its parts, and what is parted
        again leaves the place to the first of them."""
        starts, jobs = dict(self.starts), {job.id: job for work in works for job in work.jobs}
        on_wall = {base_of(key) for key in starts}
        for job in jobs.values():
            if job.stands_for and job.id not in on_wall:
                known = [starts[name] for name in job.stands_for if name in starts]
                if known:
                    starts[job.id] = min(known)
        for row in self.rows:
            if row.stands_for and row.key in starts and base_of(row.key) not in jobs:
                first = next((name for name in row.stands_for if name in jobs), None)
                if first is not None:
                    starts.setdefault(first, starts[row.key])
        return starts


def rows_for(numbers, fields) -> list[Job]:
    """Job rows that work for any of these orders, alone or together with others."""
    shared = JobShare.objects.filter(order__number__in=numbers).values("job")
    found = Job.objects.filter(Q(order__number__in=numbers) | Q(pk__in=shared))
    return list(found.only(*fields).select_related("order"))


def begun_orders(rows, facts) -> frozenset[str]:
    """Orders that have cookies or dough of their own by now: more than icing was made for them."""
    known = {fact.job_id for fact in facts}
    begun = [row for row in rows if row.key in known and row.kind != "mix"]
    return frozenset(name.split(".", 1)[0] for row in begun for name in (row.stands_for or [row.key]))


def uses_for(specs, shop, now, begun) -> tuple[Use, ...]:
    """What each order takes of things made ahead; two queries."""
    items, claimed = ahead_items({spec.id for spec in specs})
    return allot(specs, items, shop, now, claimed=claimed, begun=begun)


def works_for(specs, shop, rows, now, uses=()) -> dict:
    """The unshared work of each order. The room's reading counts for what is laid in its 36 hours, a usual
    month's room after that; so does it for all of an order without a place yet that must be handed over soon.
    """
    nights, usual = studio.Nights(), {}
    measured = nights.now(now)
    soon, later = _near_and_far(rows, now)
    works = {}
    for spec in specs:
        month = timezone.localtime(spec.hand_over).month
        if month not in usual:
            usual[month] = nights.usual(spec.hand_over)
        far = work_of(spec, shop, usual[month], ahead=uses)
        near = work_of(spec, shop, measured, ahead=uses) if measured != usual[month] else far
        at_once = spec.hand_over < now + 2 * SLOW
        works[spec.id] = _with_reading(near, far, soon, later, at_once)
    return works


def _near_and_far(rows, now) -> tuple[frozenset[str], frozenset[str]]:
    """Jobs that begin within the hours of a reading, and jobs with a place after that; by their bases."""
    soon, later = set(), set()
    for row in rows:
        if begins := _begins(row):
            into = soon if begins < now + SLOW else later
            into |= {base_of(name) for name in (row.key, *row.stands_for)}
    return frozenset(soon), frozenset(later - soon)


def _with_reading(near, far, soon, later, at_once: bool):
    """The waits after each job from the room it will dry in: two works of one order that differ in nothing
    else.
    """
    if near is far:
        return far

    def read(name: str) -> bool:
        return name in soon or (at_once and name not in later)

    waits = {(wait.before, wait.after): wait for wait in near.waits}
    places = {(place.resource, place.after, place.until): place for place in near.places}
    return replace(
        far,
        waits=tuple(
            waits.get((wait.before, wait.after), wait) if read(wait.before) else wait for wait in far.waits
        ),
        places=tuple(
            places.get((place.resource, place.after, place.until), place) if read(place.after) else place
            for place in far.places
        ),
    )


def shares_on_the_wall() -> tuple[Share, ...]:
    wall = Plan.objects.filter(state=Plan.State.WALL).values_list("shares", flat=True).first()
    return shares_of(wall or ())


def kept_apart() -> tuple[Share, ...]:
    return shares_of(KeptApart.objects.order_by("pk").values_list("share", flat=True))


def shares_of(rows) -> tuple[Share, ...]:
    """Shares from plain data."""
    return tuple(
        Share(
            row["key"],
            row["kind"],
            tuple(row["orders"]),
            tuple(row.get("jobs", ())),
            row.get("name", ""),
            row.get("saved", 0),
        )
        for row in rows
    )


def shares_json(shares) -> list[dict]:
    return [
        {"key": one.key, "kind": one.kind, "orders": list(one.orders), "jobs": list(one.jobs),
         "name": one.name, "saved": one.saved}
        for one in shares
    ]  # fmt: skip


def base_of(key: str) -> str:
    """The job behind a task, a part or a rest."""
    name = job_of_task(key)
    while name.endswith(REST):
        name = name.removesuffix(REST)
    return name


def share_key(name: str) -> str:
    """The share that a shared job belongs to, from its id: dough is numbered, the others are not."""
    base = base_of(name)
    head, _, end = base.rpartition(".")
    return head if head.endswith(".dough") and end.isdigit() else base


def _belongs(name: str, key: str) -> bool:
    return name == key or (name.startswith(f"{key}.") and name[len(key) + 1 :].isdigit())


def _begins(row):
    return row.started_at or row.planned_start


__all__ = [
    "Scene",
    "base_of",
    "kept_apart",
    "rows_for",
    "share_key",
    "shares_json",
    "shares_of",
    "shares_on_the_wall",
    "works_for",
]
