"""Which of a job's minutes grow with every cookie, and which are set-up that the whole order shares."""

from collections import Counter

from ..work import LineSpec, Work, layers_of
from ..work.counting import names_of
from ..work.kinds import minutes_of, shop_minutes
from ..work.pieces import JOB_KINDS, Job
from ..work.spraying import more_minutes

__all__ = ["making", "placing_minutes", "set_up", "split_by_kind"]

BY_THE_COOKIE = {"bake": "bake_roll", "pack": "pack"}


def making(job: Job, work: Work) -> int:
    """Minutes of the job that grow with the cookies, to the whole minute; the rest of it is set-up."""
    if job.kind == "washup":
        return _share_of_washing(job, work)
    return min(job.attended * job.hands, int(_exact(job, work) + 0.5))


def set_up(job: Job, work: Work) -> int:
    """Minutes of the job that it takes however few cookies there are."""
    return job.attended * job.hands - making(job, work)


def split_by_kind(work: Work) -> dict[str, tuple[int, int]]:
    """(set-up, making) minutes by kind of job, in the order of the work; their sum is all its minutes."""
    first, more = Counter(), Counter()
    for job in work.jobs:
        first[job.kind] += set_up(job, work)
        more[job.kind] += making(job, work)
    return {kind: (first[kind], more[kind]) for kind in JOB_KINDS if first[kind] or more[kind]}


def placing_minutes(job: Job, work: Work) -> float:
    """Minutes of a spray run or an icing pass spent holding, spraying, scraping: by cookie and placing."""
    return _exact(job, work) if job.kind in ("spray", "icing_pass") else 0.0


def _exact(job: Job, work: Work) -> float:
    shop = work.shop
    if job.kind in BY_THE_COOKIE:
        return job.cookies * shop_minutes(shop, BY_THE_COOKIE[job.kind])
    if job.kind == "dough":  # whoever bakes at all mixes one batch; every further one comes with the cookies
        return 0.0 if job is next(one for one in work.jobs if one.kind == "dough") else job.attended
    if job.kind == "talk":
        named = (line for line in work.order.lines if line.kind == "lettered" or line.names)
        return sum(names_of(line) for line in named) * shop_minutes(shop, "talk_names")
    line = next((line for line in work.order.lines if line.id == job.line), None)
    if line is None or job.layer is None:
        return 0.0
    if job.id.endswith(".make"):
        return job.cookies * shop_minutes(shop, "transfer_make")
    layers = layers_of(line)
    runs = [layers[at] for at in run_of(line, job.layer)]
    again = more_minutes(runs, job.cookies, line, shop) if job.kind == "spray" else 0.0
    return again + sum(
        job.cookies * (layers[at].placings if job.kind in ("spray", "icing_pass") else 1)
        * minutes_of(layers[at], line, shop)
        for at in run_of(line, job.layer)
    )  # fmt: skip


def run_of(line: LineSpec, first: int) -> range:
    """The places of the layers in one run: a spray that may follow another at once is done with it."""
    layers, last = layers_of(line), first + 1
    if layers[first].kind == "spray":
        while last < len(layers) and layers[last].kind == "spray" and layers[last].wait == "":
            last += 1
    return range(first, last)


def _share_of_washing(job: Job, work: Work) -> int:
    """Washing up goes with the work at the bench, so it is split as that is."""
    bench = [one for one in work.jobs if one.planned]
    every = sum(one.attended * one.hands for one in bench)
    grows = sum(making(one, work) for one in bench)
    return round(job.attended * job.hands * grows / every) if every else 0
