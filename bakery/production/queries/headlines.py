"""The sentences of tonight's page. Each says only what the plan and its proofs hold."""

from datetime import timedelta

from django.utils.dateparse import parse_datetime

from .. import words

# Which step gives the headline when several are there: drying cannot be hurried, so floods come first.
FIRST = (
    "flood",
    "spray",
    "icing_pass",
    "pipe",
    "letter",
    "wafer",
    "brush",
    "transfer",
    "bake",
    "pack",
    "dough",
    "mix",
    "thaw",
    "freeze",
)
VERB = {
    "flood": "Flood", "spray": "Spray", "icing_pass": "Stencil", "pipe": "Pipe on", "letter": "Letter",
    "wafer": "Put wafer paper on", "brush": "Paint", "transfer": "Work on transfers for", "bake": "Bake",
    "pack": "Bag and box", "freeze": "Freeze blanks for", "thaw": "Take out for",
    "dough": "Make dough for", "mix": "Mix icing",
}  # fmt: skip
EVENING = 16


def when_word(session, now) -> str:
    """tonight, today, or on Thursday."""
    start = words.local(session.start)
    if start.date() == words.local(now).date():
        return "tonight" if start.hour >= EVENING else "today"
    if start.date() == words.local(now).date() + timedelta(days=1):
        return "tomorrow"
    return f"on {words.named_day(start, now)}"


def headline(runs, session, now, when) -> str:
    todo = [run for run in runs if run.open]
    if not runs:
        return f"Nothing needs you {when}."
    if not todo:
        said = all(run.state == "done" for run in runs)
        return "All done. Go to bed." if said and when == "tonight" else f"Nothing more {when}."
    kind = next(
        (kind for kind in FIRST if any(run.kind == kind and run.verdict != "good" for run in todo)), None
    )
    kind = kind or next(kind for kind in FIRST if any(run.kind == kind for run in todo))
    own = [run for run in todo if run.kind == kind]
    count = cookies_in([run for run in own if run.verdict != "good"] or own)
    if kind == "mix":
        return f"Mix icing {when}."
    return f"{VERB[kind]} {words.counted(count, 'cookie')} {when}."


def when_broken(proposal: bool, working: bool) -> str:
    """The list breaks a rule; while that is looked at again nobody knows yet whether it still does."""
    if proposal:
        return "A changed plan waits."
    return "Sorting out the plan." if working else "The list no longer fits."


def without_place(titles, working: bool) -> str:
    """Nothing on the list is no news while there are orders that the list does not know."""
    if working:
        return "Sorting out the plan."
    return (
        f"{titles[0]} has no place yet." if len(titles) == 1 else f"{len(titles)} orders have no place yet."
    )


def cookies_in(runs) -> int:
    """Different cookies in these runs: a tray flooded twice counts once."""
    trays = {}
    for run in runs:
        for job in run.jobs:
            if job.state == job.State.DONE:
                continue
            # Trays of a line are numbered; work on a whole line or order has no tray number.
            place = (
                (job.order_id, job.line_id, job.tray) if job.tray else (job.order_id, job.line_id, job.key)
            )
            trays[place] = max(trays.get(place, 0), job.cookies)
    return sum(trays.values())


def spare_words(stop, now) -> str:
    """ "Thursday then has 40 min to spare": minutes of hands that the fullest evening to take over has
    left.
    """
    spare = stop.get("spare")
    if not spare:
        return ""
    day = words.named_day(parse_datetime(spare["day"]), now)
    return f"{day} then has {words.length(spare['minutes'])} to spare"


def bedtime(view) -> tuple[str, str]:
    """The bedtime line: what is strong in it, and the rest."""
    stop, todo = view.stop, [run for run in view.runs if run.open]
    if view.broken and view.proposal:
        return "", "The list on the wall no longer fits what you said. Look at the change before you begin."
    if view.broken and view.working:
        return "", "It is being looked at again, which takes a second or two."
    if view.broken:
        return "", "The list on the wall no longer fits what you said, and you left the change."
    if view.late:
        return "", f"{view.late[0]}. Look at the week."
    if not todo:
        return _nothing_left(view)
    if stop is None:
        return ("", "What can wait is being worked out.") if view.working or view.stale else ("", "")
    if stop.number == 0:
        return "You can stop now:", stop.text or "nothing here has to be done in this session."
    last = todo[-1]
    if any(run.verdict == "safe" for run in todo) and stop.number >= last.number:
        return "", f"Do all of it to be safe; done by {words.clock(last.end)}."
    if not stop.sure:
        return (
            "",
            f"Done by {words.clock(last.end)}; whether you can stop sooner could not be worked out in time.",
        )
    if stop.number >= last.number and len(todo) > 1:
        return "", f"All of it is needed; done by {words.clock(last.end)}."
    if stop.number >= last.number:
        return "", f"It is needed; done by {words.clock(last.end)}."
    spare = stop.text.partition("; ")[2] or stop.text
    return f"You can stop after {stop.number}, at {words.clock(stop.at)}:", spare


def _nothing_left(view) -> tuple[str, str]:
    if any(run.state == "assumed" for run in view.runs):
        return "", "What was planned counts as done until you say otherwise."
    return "", f"Baking hours {hours(view.session)}."


def hours(session) -> str:
    return f"{words.clock(session.start)} to {words.clock(session.end)}"


def hours_line(session, runs, stop, told) -> str:
    """ "With 5 and 6 as well it has 1 h 35. Baking hours 18:30 to 22:30." """
    line = f"Baking hours {hours(session)}."
    spare = (told.get("stop") or {}).get("spare")
    later = [run for run in runs if run.open and stop and run.number > stop.number]
    if spare and later and spare["with_all"] > spare["minutes"]:
        numbers = words.listed(str(run.number) for run in later)
        line = f"With {numbers} as well it has {words.length(spare['with_all'])}. {line}"
    return line


def group_note(verdict, runs, told, titles, now) -> str:
    if verdict == "must":
        return f"{_if_left(runs, told, titles, now)}Each “start by” is for that job alone."
    if verdict == "safe":
        return "Whether these can wait was not proved in time, so do them."
    spare = (told.get("stop") or {}).get("spare")
    if spare and spare["with_all"] > spare["minutes"]:
        day = words.named_day(parse_datetime(spare["day"]), now)
        return f"Once these are done, {day} has {words.length(spare['with_all'])} to spare."
    return "None of these has to be done in this session."


def _if_left(runs, told, titles, now) -> str:
    """The worst that leaving one of these is proved to do, in half a sentence."""
    worst = None
    for run in runs:
        for key in run.keys:
            left = (told.get("chains", {}).get(key) or {}).get("otherwise") or {}
            if (
                left.get("how") == "way"
                and left.get("late")
                and (worst is None or left["late"] > worst["late"])
            ):
                worst = left
    if worst is None:
        return ""
    due = parse_datetime(worst["end"]) - timedelta(minutes=worst["late"])
    return (
        f"Left until later, {titles.get(worst['order'], 'an order')} misses {words.day_and_time(due, now)}. "
    )
