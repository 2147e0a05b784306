"""How much of everything one day takes: icing by colour with its drops, airbrush cups, dough."""

from bakery.production import words
from bakery.production.models import Job
from bakery.stock.models import Colour
from bakery.stock.queries import colour_bottles

ICED = ("flood", "icing_pass", "pipe", "letter", "transfer")


def of_day(it) -> dict:
    """Rows for the amounts: what the day's jobs lay down, with what stays in the bags."""
    from bakery.craft.recipes import amounts

    jobs = [core for job in it.jobs if job.state != Job.State.DONE and (core := it.core_job(job))]
    found = amounts(list(it.works.values()), jobs)
    bottles = colour_bottles()
    icing = [
        {"what": f"{words.capital(bag.colour)}, {_grade(bag.consistency)}", "grams": _round_up(bag.to_mix),
         "made_of": _recipe(bottles.get((bag.colour.lower(), Colour.Medium.ICING)), bag.to_mix / 100)}
        for bag in found.icing
    ]  # fmt: skip
    cups = [
        {
            "what": words.capital(colour),
            "drops": _cup(bottles.get((colour.lower(), Colour.Medium.AIRBRUSH)), count),
        }
        for colour, count in found.drops.items()
    ]
    return {"icing": icing, "cups": cups, "others": _others(found)}


def _grade(consistency: str) -> str:
    """`flood, heals in 10 s` as `flood, 10 s`."""
    return consistency.replace("heals in ", "").replace(", keeps a knife's track", "")


def _round_up(grams: float) -> int:
    step = 10 if grams >= 60 else 5
    return int(-(-round(grams, 2) // step) * step)


def _recipe(parts, hundreds: float) -> str:
    """Drops of each bottle for that much icing."""
    if not parts:
        return "as it is"
    return ", ".join(f"{_drops(drops * hundreds)} {_bottle(item)}" for item, drops in parts)


def _cup(parts, count: int) -> str:
    """Drops in the cup; shared out as the colour is mixed."""
    if not parts:
        return str(count)
    whole = sum(drops for _, drops in parts) or 1
    if len(parts) == 1:
        return str(count)
    return ", ".join(f"{_drops(count * drops / whole)} {_bottle(item)}" for item, drops in parts)


def _drops(number: float) -> int:
    return max(1, round(number))


def _bottle(item) -> str:
    return words.small(item.name.removesuffix(" gel").removesuffix(", airbrush"))


def _others(found) -> list[dict]:
    rows = []
    if found.dough_batches:
        rows.append({"what": "Dough", "amount": words.counted(found.dough_batches, "batch", "batches")})
    if found.transfers:
        rows.append({"what": "Transfers", "amount": str(found.transfers)})
    if found.packed:
        rows.append({"what": "To bag", "amount": words.counted(found.packed, "cookie")})
    return rows
