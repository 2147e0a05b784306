"""One batch of dough, one mixing, one spray run for several orders: found, put in, and taken out again.

Nothing here decides whether a share does harm: `choosing.py` does, with a plan. A share only names what goes
together; the works it is put into stay as they are, so leaving it out gives the unshared works back.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from math import ceil

from .counting import mean_area, whole
from .kinds import shop_minutes
from .merging import spray_kind, spray_layers, together
from .pieces import Job, Work
from .shared_dough import dough_of, one_after_the_other
from .spec import Layer
from .spraying import change_minutes

__all__ = ["Share", "jobs_in", "propose", "share"]

DOUGH, MIX, SPRAY = "dough", "mix", "spray"
CONSISTENCIES = ("flood", "spread", "detail", "transfer")
LONGEST_RUN = 150
"""A shared spray run takes no more of an evening than this [min of work]: common practice, no source."""


@dataclass(frozen=True)
class Share:
    """What goes together: whole orders for dough and mixing, single runs (`jobs`) for spraying.

    `key` stays the same as long as the share lives; the ids of its jobs begin with it. `saved` is in minutes.
    """

    key: str
    kind: str
    orders: tuple[str, ...]
    jobs: tuple[str, ...] = ()
    name: str = ""
    saved: int = 0


def share(
    works: Sequence[Work], shares: Iterable[Share], *, held: Collection[str] = frozenset()
) -> tuple[tuple[Work, ...], tuple[Share, ...]]:
    """The works with these shares put in, and the shares that took hold, with what each saves now.

    A share whose orders are gone, whose jobs no longer go together or that saves nothing falls out by itself,
    unless its key is `held`: of those something was done already.
    """
    works, taken = tuple(works), []
    for one in shares:
        found = _jobs_of(works, one, must=one.key in held)
        if found is None:
            continue
        olds, news, successors = found
        saved = sum(job.minutes for job in olds) - sum(job.minutes for job in news)
        if one.key not in held and (saved < 1 or not _still(works, one, olds)):
            continue
        news = [replace(job, saved=max(0, saved) if i == 0 else 0) for i, job in enumerate(news)]
        ties = one_after_the_other(news) if one.kind == DOUGH else ()
        works = together(works, olds, news, successors, ties)
        orders = tuple(dict.fromkeys(job.order for job in olds))
        jobs = tuple(job.id for job in olds) if one.kind == SPRAY else ()
        taken.append(replace(one, orders=orders, jobs=jobs, saved=max(0, saved)))
    return works, tuple(taken)


def jobs_in(works: Sequence[Work], one: Share) -> tuple[str, ...]:
    """Ids of the single orders' jobs that this share would take the place of."""
    found = _jobs_of(works, one, must=True)
    return tuple(job.id for job in found[0]) if found else ()


def propose(
    works: Sequence[Work],
    *,
    busy: Collection[str] = frozenset(),
    shares: Sequence[Share] = (),
    apart: Collection[Share] = (),
    longest: int = LONGEST_RUN,
) -> tuple[Share, ...]:
    """Shares that would save minutes beside the `shares` there are, the most saving first.

    Parameters
    ----------
    works : unshared works of the orders that are to be planned
    busy : ids of jobs that are no longer open to it: done, started, or on a list she has seen
    apart : shares that she wants kept apart: no two of their members are put together again
    longest : minutes of work a shared spray run may take at most
    """
    works = sorted(works, key=lambda work: (work.order.leaves, work.order.id))
    inside = {job.id for work in works for job in work.jobs if _within(shares, job, work)}
    open_jobs = {job.id for work in works for job in work.jobs if job.planned} - inside - set(busy)
    found = [*_doughs(works, open_jobs), *_mixes(works, open_jobs), *_sprays(works, open_jobs, longest)]
    taken, named = {one.key for one in shares}, []
    for one in found:
        if is_apart(one, apart):
            continue
        one = replace(one, key=free_key(one.key, taken))
        _, kept = share(works, [one])
        if kept:
            taken.add(one.key)
            named.append(kept[0])
    return tuple(sorted(named, key=lambda one: (-one.saved, one.key)))


def is_apart(one: Share, apart: Iterable[Share]) -> bool:
    """True when two or more members of this share are to be kept apart."""
    for other in apart:
        alike = (one.kind, one.name) == (other.kind, other.name)
        if alike and len(set(one.jobs or one.orders) & set(other.jobs or other.orders)) > 1:
            return True
    return False


def free_key(key: str, taken: Collection[str]) -> str:
    """The key, or with a number where one of that name lives already."""
    number, found = 2, key
    while found in taken:
        found, number = key.replace(".share.", f".share{number}.", 1), number + 1
    return found


def narrower(one: Share) -> tuple[Share, ...]:
    """The same share without its first and without its last member: what to try when the whole does harm."""
    members = one.jobs if one.kind == SPRAY else one.orders
    if len(members) <= 2:
        return ()
    return tuple(_of(one.kind, part, one.name) for part in (members[:-1], members[1:]))


def _of(kind: str, members: Sequence[str], name: str = "") -> Share:
    """A share of these orders (of these jobs, for spraying) with the key it gets by nature."""
    if kind == SPRAY:
        orders = tuple(dict.fromkeys(member.split(".", 1)[0] for member in members))
        first, rest = members[0].split(".", 1)
        return Share(f"{first}.share.{rest}", SPRAY, orders, tuple(members))
    end = f"mix.{name}" if kind == MIX else "dough"
    return Share(f"{members[0]}.share.{end}", kind, tuple(members), (), name)


def _within(shares, job: Job, work: Work) -> bool:
    for one in shares:
        if work.order.id not in one.orders:
            continue
        if job.id in one.jobs or (one.kind == DOUGH and job.kind == "dough"):
            return True
        if one.kind == MIX and job.id == f"{work.order.id}.mix.{one.name}":
            return True
    return False


def _doughs(works, open_jobs):
    """Orders whose hand-overs lie within the life of a dough."""
    rows = [(work, [job for job in work.jobs if job.kind == "dough"]) for work in works]
    rows = [work for work, jobs in rows if jobs and all(job.id in open_jobs for job in jobs)]
    for group in _near(rows, lambda work: int(shop_minutes(work.shop, "dough_keeps"))):
        yield _of(DOUGH, [work.order.id for work in group])


def _mixes(works, open_jobs):
    """Orders that want one colour in one consistency within the life of an icing."""
    for name in CONSISTENCIES:
        rows = [work for work in works if f"{work.order.id}.mix.{name}" in open_jobs]
        colours = {work.order.id: set(work.job(f"{work.order.id}.mix.{name}").colours) for work in rows}
        while rows:
            first, rest, group, seen = rows[0], [], [rows[0]], set(colours[rows[0].order.id])
            until = first.order.leaves + timedelta(minutes=int(shop_minutes(first.shop, "mix_keeps")))
            for work in rows[1:]:
                if work.order.leaves <= until and seen & colours[work.order.id]:
                    group.append(work)
                    seen |= colours[work.order.id]
                else:
                    rest.append(work)
            if len(group) > 1:
                yield _of(MIX, [work.order.id for work in group], name)
            rows = rest


def _sprays(works, open_jobs, longest):
    """Runs with the same stencils and colours, as many as fit on half the rack and into an evening."""
    kinds: dict = {}
    for work in works:
        for job in work.jobs:
            if job.kind == "spray" and job.id in open_jobs and (sign := spray_kind(work, job)):
                kinds.setdefault(sign, []).append((work, job))
    for rows in kinds.values():
        for group in _runs(rows, longest):
            if len(group) > 1:
                yield _of(SPRAY, [job.id for _, job in group])


def _runs(rows, longest):
    group: list = []
    for work, job in rows:
        if group:
            first = group[0][0]
            near = work.order.leaves - first.order.leaves <= timedelta(days=first.shop.keeps_days)
            trays = sum(other.trays for _, other in group) + job.trays
            minutes = _run_minutes([*group, (work, job)])
            if not near or trays > max(1, first.shop.rack_places // 2) or minutes > longest:
                yield group
                group = []
        group.append((work, job))
    if group:
        yield group


def _near(rows, life):
    """Neighbours in time: from the first hand-over of a group to its last no more than `life` minutes."""
    group: list = []
    for work in rows:
        if group and work.order.leaves - group[0].order.leaves > timedelta(minutes=life(group[0])):
            if len(group) > 1:
                yield group
            group = []
        group.append(work)
    if len(group) > 1:
        yield group


def _jobs_of(works, one: Share, must: bool):
    """(jobs that go, jobs that come, which follow which) of a share in these works, or None."""
    wanted = [work for work in works if work.order.id in one.orders]
    if one.kind == SPRAY:
        olds = [(work, job) for work in wanted for job in work.jobs if job.id in one.jobs]
    elif one.kind == DOUGH:
        olds = [(work, job) for work in wanted for job in work.jobs if job.kind == "dough"]
    else:
        ids = {f"{work.order.id}.mix.{one.name}" for work in wanted}
        olds = [(work, job) for work in wanted for job in work.jobs if job.id in ids]
    rank = {name: i for i, name in enumerate(one.orders)}
    olds.sort(key=lambda row: rank[row[0].order.id])
    if len(olds) < (1 if must else 2):
        return None
    shop, jobs = olds[0][0].shop, [job for _, job in olds]
    if one.kind == DOUGH:
        areas = {work.order.id: mean_area(work) for work in wanted}
        news, successors = dough_of(one.key, jobs, shop, areas)
        return jobs, news, successors
    new = _mix(one, jobs, shop) if one.kind == MIX else _run(one, olds)
    return jobs, [new], {job.id: (new.id,) for job in jobs}


def _still(works, one: Share, olds) -> bool:
    """True when what was put together is still of one kind."""
    if one.kind == SPRAY:
        by_order = {work.order.id: work for work in works}
        return len({spray_kind(by_order[job.order], job) for job in olds}) == 1
    return len({job.order for job in olds}) > 1


def _counts(jobs) -> tuple[tuple[str, int], ...]:
    counts: dict[str, int] = {}
    for job in jobs:
        counts[job.order] = counts.get(job.order, 0) + job.cookies
    return tuple(counts.items())


def _mix(one: Share, jobs, shop) -> Job:
    """One mixing: the base once, a bag for each colour once, and the grams of all."""
    bag = shop_minutes(shop, "mix_bag")
    colours = tuple(dict.fromkeys(colour for job in jobs for colour in job.colours))
    with_base = any(job.minutes > whole(max(1, len(job.colours)) * bag) for job in jobs)
    base = shop_minutes(shop, "mix_base") if with_base else 0
    minutes = whole(base + max(1, len(colours)) * bag)
    return replace(
        jobs[0],
        id=one.key,
        title="Mix " + (" and ".join(colours) or "icing"),
        colours=colours,
        grams=round(sum(job.grams for job in jobs), 3),
        minutes=minutes,
        attended=minutes,
        shared=_counts(jobs),
        stands_for=tuple(job.id for job in jobs),
    )


def _run(one: Share, rows) -> Job:
    """One spray run over the trays of all."""
    jobs, minutes = [job for _, job in rows], _run_minutes(rows)
    return replace(
        jobs[0],
        id=one.key,
        trays=sum(job.trays for job in jobs),
        cookies=sum(job.cookies for job in jobs),
        minutes=minutes,
        attended=minutes,
        parts=tuple(part for job in jobs for part in job.parts),
        shared=_counts(jobs),
        stands_for=tuple(job.id for job in jobs),
    )


def _run_minutes(rows) -> int:
    """All runs together, less what is done once: setting up, drying between placings, cleaning."""
    (work, first), jobs = rows[0], [job for _, job in rows]
    shop, sign = work.shop, spray_kind(work, first)
    layers = spray_layers(work, first)[1] or (Layer("spray", first.colours),)
    placings = sum(layer[2] for layer in sign[0]) if sign else 1
    once = (
        shop_minutes(shop, "spray_set")
        + shop_minutes(shop, "spray_end")
        + max(0, placings - 1) * shop_minutes(shop, "spray_pass_dry")
        + change_minutes(layers, shop)
    )
    total = sum(job.minutes for job in jobs)
    return max(max(job.minutes for job in jobs), ceil(total - (len(jobs) - 1) * once - 1e-9))
