"""The answer's vocabulary: jobs, the waits between them, the places they hold, and the work of one order."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType

from .ahead import Use
from .spec import OrderSpec, Shop

__all__ = ["JOB_KINDS", "Job", "Past", "Place", "Wait", "Work"]

JOB_KINDS = (
    "talk",
    "dough",
    "bake",
    "freeze",
    "thaw",
    "mix",
    "flood",
    "spray",
    "icing_pass",
    "pipe",
    "letter",
    "transfer",
    "wafer",
    "brush",
    "pack",
    "washup",
    "door",
    "drive",
)


@dataclass(frozen=True)
class Job:
    """One piece of the baker's work.

    `minutes` from start to end, the first `attended` of them by hand. `layer` is the place in the line's
    layers, `tray` of `trays` where it works on one drying tray. `parts` says which cookies are in it: (line
    id, count). `planned` is False for work that is priced but not scheduled (talk, washing up, door, road).
    `grams` is the icing that ends on cookies, without what stays in the bag. A job that serves several orders
    says in `shared` how many cookies of each, in `stands_for` which jobs it took the place of, and in `saved`
    how many minutes that spared.
    """

    id: str
    kind: str
    title: str
    order: str
    line: str = ""
    layer: int | None = None
    tray: int = 0
    trays: int = 0
    cookies: int = 0
    colours: tuple[str, ...] = ()
    grams: float = 0.0
    minutes: int = 0
    attended: int = 0
    hands: int = 1
    uses: Mapping[str, int] = field(default_factory=dict)
    planned: bool = True
    parts: tuple[tuple[str, int], ...] = ()
    shared: tuple[tuple[str, int], ...] = ()
    stands_for: tuple[str, ...] = ()
    saved: int = 0

    def __post_init__(self):
        object.__setattr__(self, "uses", MappingProxyType(dict(self.uses)))

    @property
    def orders(self) -> tuple[str, ...]:
        """Every order the job serves, the one it stands with first."""
        return tuple(name for name, _ in self.shared) or (self.order,)


@dataclass(frozen=True)
class Wait:
    """Time that passes without hands between the end of one job and the start of another, in minutes.

    A `strict` longest wait holds even where her hours leave no such time: it is what makes a saving true.
    """

    before: str
    after: str
    kind: str
    usual_minutes: int
    slow_minutes: int
    max_minutes: int | None = None
    why: str = ""
    never: bool = False
    strict: bool = False


@dataclass(frozen=True)
class Place:
    """Places held from the end of `after` to the start of `until`, or for `minutes`, or the sooner."""

    resource: str
    amount: int
    after: str
    until: str | None = None
    minutes: int | None = None


@dataclass(frozen=True)
class Past:
    """A job that was done before the order came in half made; `ended` None when nobody knows when."""

    job: Job
    ended: datetime | None = None


@dataclass(frozen=True)
class Work:
    """All the work of one order: what there is to do, in which order, and what was done already.

    `uses` is what it takes of things made ahead, `aged_minutes` how old the oldest of them was when it was
    frozen: by so much less does the order keep.
    """

    order: OrderSpec
    shop: Shop
    jobs: tuple[Job, ...]
    waits: tuple[Wait, ...]
    places: tuple[Place, ...]
    finish: str
    bakes: tuple[str, ...]
    past: tuple[Past, ...] = ()
    cut: int = 0
    uses: tuple[Use, ...] = ()
    aged_minutes: int = 0

    @property
    def minutes_by_kind(self) -> Mapping[str, int]:
        """Minutes of hands by kind of job, everything priced included."""
        total: Counter[str] = Counter()
        for job in self.jobs:
            total[job.kind] += job.attended * job.hands
        return MappingProxyType({kind: total[kind] for kind in JOB_KINDS if total[kind]})

    @property
    def minutes(self) -> int:
        """Minutes of hands altogether, everything priced included."""
        return sum(self.minutes_by_kind.values())

    @property
    def bench_minutes(self) -> int:
        """Minutes of hands from dough to bag: only what is scheduled."""
        return sum(job.attended * job.hands for job in self.jobs if job.planned)

    @property
    def quantity(self) -> int:
        """Cookies ordered."""
        return sum(line.quantity for line in self.order.lines)

    def job(self, job_id: str) -> Job:
        """The job of that id, done or not. KeyError if there is none."""
        for job in (*self.jobs, *(past.job for past in self.past)):
            if job.id == job_id:
                return job
        raise KeyError(job_id)
