"""Runs: neighbouring jobs of one step and colour, over trays and orders, as one line of the list."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from bakery.designs.adapters import drawing_of, drawing_of_kind

from .. import words
from ..models import Job
from ..scene import share_key
from .days import Shades, began, ended, line_of

TODO, NOW, STARTED, ASSUMED, DONE = "todo", "now", "started", "assumed", "done"
STAGE = {
    "dough": "dough",
    "bake": "blank",
    "freeze": "blank",
    "thaw": "blank",
    "flood": "wet",
    "spray": "motif",
    "icing_pass": "motif",
}
MOST_PICTURES = 3
MOST_PARTS = 4


@dataclass(frozen=True)
class Run:
    """One line of a list. Times are aware; the texts are ready to be shown."""

    keys: tuple[str, ...]
    kind: str
    title: str
    text: str
    start: datetime
    end: datetime
    minutes: int
    cookies_count: int
    trays: int
    orders: tuple[str, ...]
    colours: tuple[str, ...] = ()
    grams: float = 0.0
    state: str = TODO
    verdict: str = "good"
    by: str = ""
    note: str = ""
    number: int = 0
    dry_usual: datetime | None = None
    dry_slow: datetime | None = None
    dry_word: str = ""
    cookies: tuple[dict, ...] = ()
    bags: tuple[str, ...] = ()
    left: int | None = None
    main: bool = False
    why: object = None
    size: int = 54
    dry: dict = field(default_factory=dict, repr=False, compare=False)
    jobs: tuple = field(default=(), repr=False, compare=False)

    @property
    def id(self) -> str:
        """A name for the page: letters, digits and dashes."""
        return self.keys[0].replace(".", "-").replace("/", "-")

    @property
    def time(self) -> str:
        return words.clock(self.start)

    @property
    def share(self) -> str:
        """The key of what this run does for several orders at once and is not begun: it can be parted."""
        open_jobs = [job for job in self.jobs if job.stands_for]
        begun = any(job.state != Job.State.PLANNED for job in open_jobs)
        return share_key(open_jobs[0].key) if open_jobs and not begun else ""

    @property
    def length_words(self) -> str:
        return words.length(self.minutes)

    @property
    def done(self) -> bool:
        return self.state == DONE

    @property
    def open(self) -> bool:
        return self.state in (TODO, NOW, STARTED)

    def dry_of(self, job):
        """(laid down, usually dry, dry on a slow night) of one of its jobs, or None."""
        span = self.dry.get(job.key)
        if not span or span.get("never"):
            return None
        laid = ended(job)
        usual, slow = (words.on_five(laid + timedelta(minutes=span[how])) for how in ("usual", "slow"))
        return laid, usual, slow

    @property
    def label(self) -> str:
        """The few words that stand in a block of the strip."""
        first = words.capital(self.colours[0]) if self.kind == "flood" and self.colours else ""
        name = first or words.SHORT.get(self.kind, self.kind)
        if self.kind == "transfer" and self.title.startswith("Make"):
            name = "Transfers"
        return f"{name}, {self.cookies_count}" if self.kind == "flood" else name


def state_of(job: Job, now: datetime) -> str:
    if job.state == Job.State.DONE:
        return DONE
    if job.state == Job.State.STARTED:
        return STARTED
    if job.planned_end and job.planned_end <= now:
        return ASSUMED
    return NOW if job.planned_start and job.planned_start <= now else TODO


def merged(jobs, now, verdict_of, apart=()) -> list[list[Job]]:
    """Neighbours of one step, colour, state and verdict; jobs in `apart` begin a new run (the stop line)."""
    groups: list[list[Job]] = []
    last = None
    for job in jobs:
        sign = (*_step(job), _phase(state_of(job, now)), verdict_of(job))
        if groups and sign == last and job.key not in apart:
            groups[-1].append(job)
        else:
            groups.append([job])
        last = sign
    return groups


def _phase(state):
    """A started run with trays still to come is one run."""
    return "open" if state in (TODO, NOW, STARTED) else state


def _step(job):
    if job.kind in ("mix", "dough", "bake"):
        return (job.kind,)
    if job.kind == "flood":
        return (job.kind, tuple(job.colours))
    if job.kind == "pack":
        return (job.kind, job.order_id)
    return (job.kind, tuple(job.colours), job.title)


def run_of(jobs, now, shades: Shades, *, dry=None, amounts=None, verdict="good") -> Run:
    """One run of these jobs. `dry` maps keys to minutes of drying, `amounts` mixes to their colours'
    grams.
    """
    states = [state_of(job, now) for job in jobs]
    state = next((s for s in (STARTED, NOW, TODO, ASSUMED) if s in states), DONE)
    open_jobs = [job for job in jobs if job.state != Job.State.DONE] or jobs
    usual, slow, word = _drying(jobs, dry or {})
    minutes = busy_minutes((began(job), ended(job)) for job in jobs)
    colours = tuple(words.colours_of(jobs))
    pictures, bags = _pictures(jobs, shades)
    trays = len({(job.order_id, job.line_id, job.tray) for job in jobs if job.tray})
    cookies = sum(_cookies(job) for job in jobs)
    run = Run(
        keys=tuple(job.key for job in open_jobs),
        kind=jobs[0].kind,
        title=words.run_title(jobs),
        text="",
        start=min(began(job) for job in jobs),
        end=max(ended(job) for job in jobs),
        minutes=minutes,
        cookies_count=cookies,
        trays=trays,
        orders=tuple(dict.fromkeys(order.title for job in jobs for order in job.served)),
        colours=colours,
        grams=sum(job.grams for job in jobs),
        state=state,
        verdict=verdict,
        dry_usual=usual,
        dry_slow=slow,
        dry_word=word,
        cookies=pictures,
        bags=bags,
        jobs=tuple(jobs),
        dry={job.key: (dry or {})[job.key] for job in jobs if job.key in (dry or {})},
    )
    return _worded(run, amounts or {}, dry or {})


def busy_minutes(spans) -> int:
    """Minutes that these spans cover together: what overlaps counts once."""
    total, last = timedelta(0), None
    for start, end in sorted(spans):
        begin = start if last is None else max(start, last)
        if end > begin:
            total += end - begin
        last = end if last is None else max(last, end)
    return round(total.total_seconds() / 60)


def _cookies(job):
    return job.done_count if job.done_count is not None else job.cookies


def _drying(jobs, dry):
    """When the last of them is dry, usually and on a slow night, and what dry means here."""
    usual = slow = None
    word = ""
    for job in jobs:
        span = dry.get(job.key)
        if span and not span.get("never"):
            end = ended(job)
            usual = max(filter(None, (usual, words.on_five(end + timedelta(minutes=span["usual"])))))
            slow = max(filter(None, (slow, words.on_five(end + timedelta(minutes=span["slow"])))))
            word = words.WET_ENDS.get(span["kind"], "dry")
    return usual, slow, word


def _pictures(jobs, shades):
    if jobs[0].kind == "mix":
        return (), tuple(dict.fromkeys(shades.of(colour) for colour in words.colours_of(jobs)))[:4]
    if jobs[0].kind == "dough":
        return (), ()
    found = []
    for job in jobs:
        spec = picture_of(job, shades)
        if spec and spec not in found:
            found.append(spec)
    return tuple(found[:MOST_PICTURES]), ()


def picture_of(job: Job, shades: Shades) -> dict | None:
    """The job's cookie at the stage this job brings it to."""
    line = line_of(job)
    if line is None:
        return None
    spec = drawing_of(line.design, line.variation) if line.design else drawing_of_kind(line.kind)
    spec = dict(spec) | {"stage": STAGE.get(job.kind, "done")}
    if job.kind == "flood" and job.colours:
        spec["base"] = shades.of(job.colours[0])
    if job.kind == "flood" and (job.layer or 0) > 0:
        spec["stage"] = "motif"
    return spec


def _worded(run: Run, amounts, dry) -> Run:
    from dataclasses import replace

    parts = [_contents(run, amounts)]
    parts += [f"{words.length(run.minutes)}.", words.shared_line(run.jobs)]
    if run.dry_slow:
        ready = run.dry_word if run.dry_word not in ("dry", "") else "dry"
        same = words.local(run.dry_usual).date() == words.local(run.dry_slow).date()
        usual, slow = words.clock(run.dry_usual), words.clock(run.dry_slow)
        if not same:
            usual, slow = (f"{words.short_day(at)} {words.clock(at)}" for at in (run.dry_usual, run.dry_slow))
        parts.append(
            f"{words.capital(ready)} by {slow}."
            if usual == slow
            else f"Usually {ready} by {usual}, on a slow night by {slow}."
        )
    elif any((dry.get(job.key) or {}).get("never") for job in run.jobs):
        parts.append("In this room it will not dry by itself: heat, drier air or a dryer is needed.")
    title = run.title
    if (
        run.kind in ("flood", "spray", "icing_pass", "pipe", "letter", "brush", "wafer")
        and len(run.orders) > 1
    ):
        title += f", {len(run.orders)} orders"
    if run.trays > 1:
        title += f", {run.trays} trays"
    elif run.trays == 1 and run.kind == "flood":
        title += ", 1 tray"
    return replace(run, title=title, text=" ".join(part for part in parts if part))


def _contents(run: Run, amounts) -> str:
    """What is in the run, by order, with the amounts a bowl or a sheet takes."""
    if run.kind == "mix":
        total: dict[str, float] = {}
        for job in run.jobs:
            for colour, grams in amounts.get(job.key, []):
                total[colour] = total.get(colour, 0.0) + grams
        named = [f"{colour} {words.grams(grams)}" for colour, grams in total.items() if grams]
        return words.capital(f"{', '.join(named)}.") if named else f"For {words.listed(run.orders)}."
    counts: dict[str, int] = {}
    for order, cookies in (part for job in run.jobs for part in job.counts):
        counts[order.title] = counts.get(order.title, 0) + cookies
    if len(counts) == 1:
        text = f"{next(iter(counts))}."
    else:
        named = [f"{count} for {title}" for title, count in list(counts.items())[:MOST_PARTS]]
        more = len(counts) - MOST_PARTS
        text = f"{', '.join(named)}{f' and {more} more orders' if more > 0 else ''}."
    if run.kind == "flood" and run.grams:
        text += f" About {words.grams(run.grams)}."
    if run.kind == "bake":
        sheets = sum(job.uses.get("oven", 0) for job in run.jobs)
        text = f"{words.counted(sheets, 'sheet')}. {text}" if sheets else text
    return text
