"""The runs of a day as lines of its sheet: when, how pressing, what, how many, dry by when."""

from datetime import datetime, timedelta

from bakery.production import words
from bakery.production.queries.days import began, shades
from bakery.production.queries.runs import merged, run_of

from . import names
from .moments import when

TAGS = {"must": ("must", "moon"), "undecided": ("safe", "moon-dashed"), "can_wait": ("good", "moon-hollow")}
ON_STENCIL = ("spray", "icing_pass")
PLAIN = ("dough", "bake", "flood", "pack")  # colours are in the title, or there are none


def rows_of(it) -> list[dict]:
    groups = merged(it.jobs, it.now, lambda job: it.verdicts.get(job.key, {}).get("verdict", ""))
    dry = {job.key: span for job in it.jobs if (span := it.drying(job.key))}
    colours = shades()
    rows = [_row(it, run_of(group, it.now, colours, dry=dry), dry) for group in groups]
    return rows + _wash_up(it) if rows else []


def _row(it, run, dry) -> dict:
    verdict, sign, tag = _tag(it, run)
    return {
        "time": words.clock(run.start),
        "verdict": verdict,
        "sign": sign,
        "tag": tag,
        "title": run.title,
        "text": _text(it, run),
        "count": run.cookies_count or "",
        "dry_by": when(run.dry_slow) if run.dry_slow else "",
        "dry_word": run.dry_word or "dry",
        "never": any(dry[job.key].get("never") for job in run.jobs if job.key in dry),
        "done": run.done,
    }


def _tag(it, run) -> tuple[str, str, str]:
    """How pressing it is, with the sign and words of tonight's list."""
    if run.done:
        return "bare", "", "done"
    if not it.session_of(run.start):
        return "bare", "", "any hour"
    said = [it.verdicts[job.key] for job in run.jobs if job.key in it.verdicts]
    if not said:
        return "bare", "", ""
    verdict, sign = TAGS.get(said[0]["verdict"], ("good", "moon-hollow"))
    latest = [datetime.fromisoformat(one["latest"]) for one in said if one.get("latest")]
    if verdict == "must":
        return verdict, sign, f"start by {words.clock(min(latest))}" if latest else "can’t wait"
    if verdict == "safe":
        return verdict, sign, "to be safe"
    waits = [datetime.fromisoformat(it.waits[job.key]) for job in run.jobs if job.key in it.waits]
    return verdict, sign, f"or {words.weekday(min(waits))}" if waits else "or later"


def _text(it, run) -> str:
    """For whom, in which colours, with which stencil, how long; what to do between."""
    parts = []
    if run.kind not in ("mix", "dough"):
        parts.append(_for_whom(run))
    if colours := _colours_left_to_say(run):
        parts.append(f"{words.capital(words.listed(colours))}.")
    if run.kind in ON_STENCIL:
        parts.append(_stencil(it, run))
    if run.kind == "spray" and len(run.colours) > 1:
        parts.append("Clean between.")
    if run.kind == "letter":
        parts.append(names.spares(it, run))
    if any((it.drying(job.key) or {}).get("never") for job in run.jobs):
        parts.append("Too damp here to dry by itself: fan, heat or a drier room.")
    parts.append(words.shared_line(run.jobs))
    parts.append(f"{words.length(run.minutes)}.".replace(" ", "\N{NO-BREAK SPACE}"))
    return " ".join(part for part in parts if part)


def _colours_left_to_say(run) -> list[str]:
    """Colours that the title does not name already."""
    if run.kind in PLAIN:
        return []
    title = run.title.lower()
    return [colour for colour in run.colours if colour.lower() not in title]


def _for_whom(run) -> str:
    counts: dict[str, int] = {}
    for order, cookies in (part for job in run.jobs for part in job.counts):
        counts[order.title] = counts.get(order.title, 0) + cookies
    if len(counts) == 1:
        return f"{next(iter(counts))}."
    return f"{words.listed([f'{count} for {title}' for title, count in counts.items()])}."


def _stencil(it, run) -> str:
    used = dict.fromkeys(name for job in run.jobs for name in job.uses if name.startswith("stencil/"))
    if not used:
        return ""
    named = words.listed([it.stencils.get(name, words.tool_name(name)) for name in used])
    more = " Wipe it each tray." if run.trays > 1 else ""
    return f"Stencil: {named}.{more}"


def _wash_up(it) -> list[dict]:
    """The last minutes of every session in which there is work."""
    minutes = it.studio.wash_up_minutes
    worked = [s for s in it.sessions if any(s.start <= began(job) < s.end for job in it.jobs)]
    if not minutes or not worked:
        return []
    end = worked[-1].end
    needle = ", strip the needle" if "spray" in it.kinds() else ""
    text = f"Scribe, pins and blades: count them back in. {minutes}\N{NO-BREAK SPACE}min."
    return [{
        "time": words.clock(end - timedelta(minutes=minutes)), "verdict": "bare", "sign": "", "tag": "last",
        "title": f"Wash up{needle}", "text": text,
        "count": "", "dry_by": "", "never": False, "done": False,
    }]  # fmt: skip
