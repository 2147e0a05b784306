"""Times, lengths and runs in her words. Pure functions; local time is Django's current time zone."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from django.utils import timezone

NB = "\u00a0"  # a space that holds a number and its unit together
TOOLS = {"oven": "the oven", "airbrush": "the airbrush", "rack": "the rack", "dryer": "the dryer"}
DOES = {
    "dough": "Make dough for", "freeze": "Freeze blanks for", "thaw": "Take out for", "bake": "Bake",
    "mix": "Mix icing for",
    "flood": "Flood", "spray": "Spray",
    "icing_pass": "Spread icing on", "pipe": "Pipe on", "letter": "Letter", "transfer": "Stick transfers on",
    "wafer": "Put wafer paper on", "brush": "Paint", "pack": "Bag and box",
}  # fmt: skip
SHORT = {
    "dough": "Dough", "freeze": "Freeze", "thaw": "Thaw", "bake": "Bake", "mix": "Mix",
    "flood": "Flood", "spray": "Spray",
    "icing_pass": "Spread", "pipe": "Pipe", "letter": "Letter", "transfer": "Stick", "wafer": "Wafer",
    "brush": "Paint", "pack": "Bag",
}  # fmt: skip
AFTER = {
    "outline_set": "Outline sets", "crusted": "Crusts", "firm": "Firms up", "base_dry": "Base dries",
    "wafer_dry": "Dries for wafer paper", "dry_through": "Dries through", "mist_dry": "Colour dries",
    "cool": "Cools", "freeze": "Freezes through", "thaw": "Thaws, closed", "chill": "Dough chills",
    "transfer_dry": "Transfers dry",
    "mixed": "Colour rests",
}  # fmt: skip
WET_ENDS = {
    "outline_set": "outline set", "crusted": "crusted", "firm": "firm", "base_dry": "dry", "wafer_dry": "dry",
    "dry_through": "dry through", "mist_dry": "dry to the touch", "cool": "cold", "freeze": "frozen",
    "thaw": "thawed",
    "transfer_dry": "dry",
}  # fmt: skip


def local(moment: datetime) -> datetime:
    return timezone.localtime(moment)


def clock(moment: datetime) -> str:
    """18:05"""
    return f"{local(moment):%H:%M}"


def weekday(moment: datetime | date) -> str:
    """Wednesday"""
    day = local(moment) if isinstance(moment, datetime) else moment
    return f"{day:%A}"


def short_day(moment: datetime) -> str:
    """Wed"""
    return f"{local(moment):%a}"


def day_month(moment: datetime | date) -> str:
    """Wed 25 Nov"""
    day = local(moment) if isinstance(moment, datetime) else moment
    return f"{day:%a} {day.day} {day:%b}"


def day_and_time(moment: datetime, now: datetime) -> str:
    """tonight 20:45, tomorrow 09:00, Friday 15:00, Fri 4 Dec 12:00"""
    here, there = local(now).date(), local(moment).date()
    away = (there - here).days
    if away == 0:
        return f"{'tonight' if local(moment).hour >= 18 else 'today'} {clock(moment)}"
    if away == 1:
        return f"tomorrow {clock(moment)}"
    if away == -1:
        return f"yesterday {clock(moment)}"
    if 1 < away < 7:
        return f"{weekday(moment)} {clock(moment)}"
    return f"{day_month(moment)} {clock(moment)}"


def on_five(moment: datetime) -> datetime:
    """Up to the next five minutes, as the plan counts: nothing is dry to the minute."""
    over = timedelta(minutes=moment.minute % 5, seconds=moment.second, microseconds=moment.microsecond)
    return moment + (timedelta(minutes=5) - over if over else over)


def near_day(moment: datetime, now: datetime) -> str:
    """tonight, tomorrow, Thursday, Fri 4 Dec: without the clock."""
    return day_and_time(moment, now).rsplit(" ", 1)[0]


def named_day(moment: datetime, now: datetime) -> str:
    """Wednesday, or Wed 2 Dec where that could be another Wednesday."""
    return named_date(local(moment).date(), now)


def named_date(day: date, now: datetime) -> str:
    """The same of a date."""
    return weekday(day) if -7 < (day - local(now).date()).days < 7 else day_month(day)


def day_in_text(moment: datetime, now: datetime) -> str:
    """The same for a customer's text: Wednesday, or Wednesday 2 December."""
    day = local(moment)
    return weekday(day) if named_day(day, now) == weekday(day) else f"{day:%A} {day.day} {day:%B}"


def length(minutes: float) -> str:
    """25 min, 2 h, 2 h 50, 3 days; number and unit stay on one line."""
    minutes = round(minutes)
    if minutes < 60:
        return f"{minutes}{NB}min"
    hours, rest = divmod(minutes, 60)
    if hours >= 72:
        return f"{round(hours / 24)}{NB}days"
    return f"{hours}{NB}h{NB}{rest:02d}" if rest else f"{hours}{NB}h"


def hours(minutes: float) -> str:
    """Work and baking hours: 25 min, 2 h 50, 104 h 30; never said in days."""
    whole, rest = divmod(round(minutes), 60)
    if not whole:
        return f"{rest}{NB}min"
    return f"{whole}{NB}h{NB}{rest:02d}" if rest else f"{whole}{NB}h"


def grams(amount: float) -> str:
    """570 g, 1.2 kg; rounded up to what a scale is read to."""
    if amount >= 1000:
        return f"{amount / 1000:.1f}{NB}kg"
    step = 10 if amount >= 60 else 5
    return f"{max(step, -(-int(round(amount, 3)) // step) * step)}{NB}g"


def counted(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"


NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def number_word(number: int) -> str:
    return NUMBERS[number] if 0 <= number < len(NUMBERS) else str(number)


def listed(words: Iterable[str]) -> str:
    """bone, sage and slate"""
    words = list(words)
    if len(words) < 2:
        return words[0] if words else ""
    return f"{', '.join(words[:-1])} and {words[-1]}"


def tool_name(resource: str) -> str:
    """A resource in her words: the airbrush, the stencil fern mask."""
    if resource.startswith("stencil/"):
        return "the stencil " + resource.removeprefix("stencil/").replace("-", " ")
    if resource.startswith("stock/"):
        return resource.removeprefix("stock/")
    return TOOLS.get(resource, resource)


def colours_of(jobs) -> list[str]:
    return list(dict.fromkeys(colour for job in jobs for colour in job.colours))


def run_title(jobs, cookies: int | None = None) -> str:
    """What a run is called: "Bone flood: 60 cookies", "Mix three flood colours", "Roll and bake 28".

    `jobs` are rows or core jobs; they share their kind. `cookies` counts where only some of them are meant.
    """
    first, cookies = jobs[0], sum(job.cookies for job in jobs) if cookies is None else cookies
    colours = colours_of(jobs)
    if first.kind == "mix":
        what = f"{number_word(len(colours))} colours" if len(colours) > 2 else listed(colours) or "icing"
        return f"Mix {what}"
    if first.kind == "dough":
        return f"Mix {counted(len(jobs), 'batch', 'batches')} of dough"
    if first.kind == "thaw":
        return f"Take {counted(cookies, 'blank')} out to thaw" if cookies else "Take dough out to thaw"
    if first.kind == "freeze":
        return f"Put {counted(cookies, 'blank')} in the freezer"
    if first.kind == "bake":
        return f"Roll and bake {counted(cookies, 'cookie')}"
    if first.kind == "flood" and colours and not first.layer:
        return f"{capital(colours[0])} flood: {counted(cookies, 'cookie')}"
    if first.kind == "pack":
        return f"Bag and box {counted(cookies, 'cookie')}"
    if first.kind == "transfer" and first.title.startswith("Pipe transfers"):
        return f"Make {counted(cookies, 'transfer')}"
    what = step_title(first)
    return f"{what}: {counted(cookies, 'cookie')}" if cookies else what


def job_name(job) -> str:
    """ "pipe dots, white": what a job is called inside a sentence."""
    return small(run_title([job]).split(":")[0])


def step_title(job) -> str:
    """ "Pipe pearls, white" from a layer called "Pearls" in white; a title that begins with its verb
    stays.
    """
    base = job.title.removesuffix(" and ".join(job.colours)).strip()
    if not base or base == job.title.strip():
        return strip_part(job.title)
    return strip_part(f"{with_verb(job.kind, base)}, {listed(job.colours).lower()}")


def with_verb(kind: str, title: str) -> str:
    """ "Spray fern" from a layer called "Fern"; a title that begins with its verb stays."""
    verb = SHORT.get(kind, "")
    made_ahead = kind == "transfer" and title.lower().startswith("pipe")
    if not verb or made_ahead or title.lower().startswith(verb.lower()):
        return title
    return f"{verb} {small(title)}"


def strip_part(title: str) -> str:
    """A job's title without the colours' list run on for ever."""
    return capital(title if len(title) <= 46 else title[:44].rsplit(" ", 1)[0] + " …")


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def small(text: str) -> str:
    """The first letter small, unless the word is a name in capitals."""
    return text if text[:2].isupper() else text[:1].lower() + text[1:]


def shared_line(jobs) -> str:
    """ "One mixing for the ferns and the stall, 13 min saved." of rows that serve several orders at once."""
    jobs = [job for job in jobs if job.stands_for]
    titles = list(dict.fromkeys(order.title for job in jobs for order in job.served))
    saved = sum(job.saved for job in jobs)
    if not jobs or (len(titles) < 2 and not saved):
        return ""
    what = {"mix": "One mixing", "dough": "One dough", "spray": "One run"}.get(jobs[0].kind, "Once")
    for_whom = f" for {listed(titles[:4] if len(titles) <= 4 else [*titles[:3], 'others'])}"
    return f"{what}{for_whom if len(titles) > 1 else ''}{f', {length(saved)} saved' if saved else ''}."
