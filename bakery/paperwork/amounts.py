"""How much of everything one day takes: icing by colour with its drops, airbrush cups, dough."""

from bakery.production import words
from bakery.production.models import Job
from bakery.production.queries.days import icing_by_mix
from bakery.stock.models import Colour
from bakery.stock.queries import colour_bottles

GRADES = {"flood": "flood, 10 s", "spread": "spread, keeps a track", "detail": "detail, 20 s",
          "transfer": "detail, 20 s"}  # fmt: skip


def of_day(it) -> dict:
    """Rows for the amounts: what is mixed this day, and what goes through the airbrush."""
    from bakery.craft.recipes import amounts

    bottles = colour_bottles()
    jobs = [core for job in it.jobs if job.state != Job.State.DONE and (core := it.core_job(job))]
    found = amounts(list(it.works.values()), jobs)
    cups = []
    for colour, count in found.drops.items():
        parts = bottles.get((colour.lower(), Colour.Medium.AIRBRUSH))
        cups.append({"what": words.capital(colour), "drops": _cup(parts, count)})
    return {"icing": _icing(it, bottles), "cups": cups, "others": _others(found)}


def _icing(it, bottles) -> list[dict]:
    """Icing to mix by colour and grade, with what stays in bowls and bags, and its drops of colour."""
    from bakery.craft.recipes import icing_to_mix

    mixes = [job for job in it.jobs if job.kind == "mix" and job.state != Job.State.DONE]
    total: dict[tuple[str, str], float] = {}
    for key, parts in icing_by_mix(mixes).items():
        grade = GRADES.get(key.split("/")[0].rpartition(".")[2], "")
        for colour, grams in parts:
            total[colour, grade] = total.get((colour, grade), 0.0) + grams
    rows = []
    for (colour, grade), grams in sorted(total.items(), key=lambda row: (row[0][1], row[0][0])):
        mixed = icing_to_mix(grams)
        recipe = _recipe(bottles.get((colour.lower(), Colour.Medium.ICING)), mixed / 100)
        what = f"{words.capital(colour)}, {grade}" if grade else words.capital(colour)
        rows.append({"what": what, "grams": _round_up(mixed), "made_of": recipe})
    return [row for row in rows if row["grams"]]


def _round_up(grams: float) -> int:
    if grams <= 0:
        return 0
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
