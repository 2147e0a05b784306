"""Why tonight: the chain of the hardest job in a run as steps to be drawn, and what happens otherwise, in
words.
"""

from dataclasses import dataclass

from django.utils.dateparse import parse_datetime

from bakery.drawing.chain import Step

from .. import words

MOST_STEPS = 8


@dataclass(frozen=True)
class Why:
    title: str
    chain: tuple[Step, ...]
    otherwise: str
    open: bool = False


def why_of(run, told, titles, now) -> Why | None:
    """The reason of the run's hardest job: the one that must start first."""
    chains, verdicts = told.get("chains", {}), told.get("tasks", {})
    keys = [key for key in run.keys if key in chains]
    if not keys or not run.open:
        return None

    def hardness(key):
        late = (chains[key].get("otherwise") or {}).get("late") or 0
        return (-late, verdicts.get(key, {}).get("latest") or "9", key)

    key = min(keys, key=hardness)
    chain = chains[key]
    order = titles.get(chain["order"], "this order")
    parts = (part for job in run.jobs for part in job.counts)
    count = sum(cookies for served, cookies in parts if served.key == chain["order"])
    what = f"the {words.counted(count, 'cookie')} for {order}" if count and len(run.orders) > 1 else order
    return Why(
        title=f"Why: {what}",
        chain=tuple(_steps(chain["steps"], now)),
        otherwise=otherwise_words(chain.get("otherwise") or {}, titles, now),
    )


def _steps(steps, now):
    found = []
    for i, step in enumerate(_shortened(steps)):
        if step["what"] == "work":
            start = parse_datetime(step["start"])
            what = words.strip_part(words.with_verb(step["kind"], step["title"]))
            found.append(
                Step(
                    "work",
                    what,
                    words.capital(words.day_and_time(start, now)),
                    words.length(step["minutes"]),
                    now=i == 0,
                )
            )
        elif step["what"] == "wait":
            end = parse_datetime(step["end"])
            what = words.AFTER.get(step["kind"], "Waits")
            found.append(
                Step(
                    "wait",
                    what,
                    f"by {words.short_day(end)} {words.clock(end)}",
                    words.length(step["minutes"]),
                )
            )
        else:
            end = parse_datetime(step["end"])
            found.append(Step("hand_over", "Hand-over", f"{words.short_day(end)} {words.clock(end)}"))
    return found


def _shortened(steps):
    """At most eight links: work that follows work without a wait is told as one."""
    steps = [dict(step) for step in steps]
    while len(steps) > MOST_STEPS:
        pair = next((i for i in range(1, len(steps) - 1)
                     if steps[i]["what"] == steps[i + 1]["what"] == "work"), None)  # fmt: skip
        if pair is None:
            break
        one, two = steps[pair], steps.pop(pair + 1)
        if two["title"] not in one["title"]:
            one["title"] = f"{one['title']}, {words.small(two['title'])}"
        one["minutes"] += two["minutes"]
    return steps


def otherwise_words(left, titles, now) -> str:
    """What is known to happen when it is not begun in this session."""
    how = left.get("how")
    order = titles.get(left.get("order"), "an order")
    if how == "fits":
        return "It can wait: begun in a later session, every hand-over still holds."
    if how == "proof":
        return "It is proved that no plan which begins it later is as good for every hand-over."
    if how == "solved":
        late = words.length(left["late"])
        return f"Begun later, the best plan found has {order} ready {late} after the hand-over."
    if how != "way":
        return ""
    if not left.get("end"):
        return f"Begun later, {order} does not get done at all in the baking hours there are."
    end = parse_datetime(left["end"])
    text = (
        f"Begun only after this session, {order} would be ready "
        f"{words.day_and_time(end, now)} at the earliest: "
        f"{words.length(left['late'])} after the hand-over"
    )
    if left.get("event") is not None:
        before = left["event"] >= 0
        text += f", {words.length(abs(left['event']))} {'before' if before else 'after'} the event"
    return f"{text}."
