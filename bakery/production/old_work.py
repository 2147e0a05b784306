"""What was made and will be too old when it is used: dough, icing, cookies. Pure functions over plain data;
the sentences are said when a page is read, since "tomorrow" moves.
"""

from datetime import datetime, timedelta

from bakery.craft.work import too_old

from . import words

MOST = 3
DAY = 24 * 60


def old_work(problem, works, facts, starts) -> list[dict]:
    """What is too old by the time this plan uses it, as kept with the plan; the soonest use first."""

    def at(minute):
        return problem.origin + timedelta(minutes=minute)

    now = at(problem.now)
    planned = {name: at(minute) for name, minute in starts.items()}
    found: dict[str, dict] = {}
    for wait in too_old(list(works.values()), facts, now=now, starts=planned):
        job = _job(works, wait.before)
        made = _ended(wait.before, works, facts)
        used = max(now, min((t for name, t in planned.items() if _is(name, wait.after)), default=now))
        if job is None or made is None:
            continue
        fresh = {"what": _what(job), "made": made.isoformat(), "used": used.isoformat(),
                 "for": [], "keeps": wait.max_minutes}  # fmt: skip
        row = found.setdefault(wait.before, fresh)
        row["used"] = min(row["used"], used.isoformat())
        row["for"] += [name for name in job.orders if name not in row["for"]]
    return sorted([*found.values(), *_cookies(problem, starts, at)], key=lambda row: row["used"])


def _cookies(problem, starts, at) -> list[dict]:
    """Cookies that were baked and are past their keeping at the hand-over."""
    tasks = {task.id: task for task in problem.tasks}
    found = []
    for order in problem.orders:
        ends = [tasks[name].start + tasks[name].minutes for name in order.bakes
                if name in tasks and tasks[name].state == "done"]  # fmt: skip
        finish = starts.get(order.finish)
        if not ends or finish is None:
            continue
        handed = max(order.pickup, finish + tasks[order.finish].minutes)
        if handed - min(ends) > order.keeps:
            found.append({"what": "cookies", "made": at(min(ends)).isoformat(), "for": [order.id],
                          "keeps": order.keeps, "used": at(handed).isoformat()})  # fmt: skip
    return found


def old_words(rows, titles, now: datetime) -> tuple[str, ...]:
    """Sentences for the page: what is how old by then, and what to do about it."""
    told = tuple(dict.fromkeys(_said(row, titles, now) for row in rows or ()))
    over = len(told) - MOST
    return (*told[:MOST], f"{words.counted(over, 'more thing')} will be too old.") if over > 0 else told


def _said(row, titles, now) -> str:
    made, used = datetime.fromisoformat(row["made"]), datetime.fromisoformat(row["used"])
    until = made + timedelta(minutes=row["keeps"])
    whom = words.listed([titles[name] for name in row["for"] if name in titles][:2])
    what = words.capital(f"{row['what']} of {words.named_day(made, now)}{f' for {whom}' if whom else ''}")
    old, keeps = _days((used - made) / timedelta(minutes=1)), _days(row["keeps"])
    many = row["what"] == "cookies"
    if many:
        then = f"{what} are {old} old at the hand-over, {words.near_day(used, now)}; you keep them {keeps}."
        return f"{then} Bake them fresh, or hand them over sooner."
    by = f"Use it by {words.day_and_time(until, now)}, or make" if until > now else "Make"
    return (
        f"{what} is {old} old when you use it, {words.near_day(used, now)}; it keeps {keeps}. {by} it fresh."
    )


def _days(minutes: float) -> str:
    """ "6 days"; hours where it is less than two days."""
    return words.length(minutes) if minutes < 2 * DAY else words.counted(round(minutes / DAY), "day")


def _what(job) -> str:
    if job.kind == "mix":
        return f"the icing ({words.small(words.listed(job.colours[:3]))})" if job.colours else "the icing"
    return {"dough": "the dough", "thaw": "what was thawed"}.get(job.kind, words.small(job.title))


def _is(task: str, job: str) -> bool:
    return task.split("/", 1)[0] == job


def _job(works, name):
    for work in works.values():
        for job in (*work.jobs, *(past.job for past in work.past)):
            if job.id == name:
                return job
    return None


def _ended(name, works, facts) -> datetime | None:
    parts = [fact.start + timedelta(minutes=fact.minutes) for fact in facts if _is(fact.job_id, name)]
    if parts:
        return max(parts)
    ends = [past.ended for work in works.values() for past in work.past if past.job.id == name]
    return next((end for end in ends if end), None)
