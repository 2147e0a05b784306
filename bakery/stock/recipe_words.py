"""What the pages about recipes say."""

from bakery.craft.ingredients import Line, weigh, written
from bakery.craft.recipes import area_of_round

from .models import Recipe
from .recipes import PLAIN, allergens_of_part, as_core, cookies_of, unsure_of


def grams(value) -> str:
    """240 g, 4.2 g, 1.4 kg"""
    number = float(value)
    if number >= 1000:
        return f"{number / 1000:.3f}".rstrip("0").rstrip(".") + " kg"
    if number >= 20:
        return f"{number:.0f} g"
    return f"{number:.1f}".rstrip("0").rstrip(".") + " g"


def overview(rows) -> dict:
    """The list by what it makes, and the headline."""
    groups = [
        {"what": value, "title": label.capitalize(), "rows": [_row(row) for row in rows if row.what == value],
         "plain": PLAIN[value].name}
        for value, label in Recipe.What.choices
    ]  # fmt: skip
    dough = next((row for row in rows if row.usual and row.what == Recipe.What.DOUGH), None)
    open_questions = sum(row["questions"] for group in groups for row in group["rows"])
    if dough is None:
        answer, meaning = "No recipe of yours yet.", "How many cookies a batch makes is enough to start."
    else:
        answer = f"One batch of {dough.name} makes {dough.cookies}."
        meaning = _open(open_questions)
    return {"groups": groups, "answer": answer, "meaning": meaning}


def _open(count: int) -> str:
    if not count:
        return "Amounts, allergens and prices are reckoned from what goes in."
    return f"{count} thing{'s' if count > 1 else ''} in it {'have' if count > 1 else 'has'} no weight yet."


def _row(row) -> dict:
    parts = list(row.parts.all())
    makes = f"makes {row.cookies}" if row.what == Recipe.What.DOUGH else _weight(row)
    return {"row": row, "makes": makes, "questions": sum(part.grams is None for part in parts)}


def _weight(row) -> str:
    known = [part.grams for part in row.parts.all() if part.grams is not None]
    return f"{grams(sum(known))} of icing" if known else "nothing written down yet"


def page(row, wrong: dict, scaled) -> dict:
    """One recipe: what goes in with its grams, the questions, allergens, and the amounts for a number."""
    parts = list(row.parts.all())
    made = as_core(row)
    return {
        "lead": _lead(row, made),
        "parts": [_part(part, wrong.get(part.pk)) for part in parts],
        "allergens": ", ".join(made.allergens),
        "unsure": [part.name for part in parts if unsure_of(part)],
        "plain": "" if parts else PLAIN[row.what].name,
        "total": f"{'about ' if any(p.about for p in parts) else ''}{grams(made.grams)}",
        "missing": made.unknown,
        "scaled": _scaled(row, made, scaled),
        "dough": row.what == Recipe.What.DOUGH,
        "plan": "" if cookies_of(row) == row.cookies else f"The plan counts {cookies_of(row)} usual ones.",
    }


def _lead(row, made) -> str:
    if row.what == Recipe.What.DOUGH:
        size = 2 * (float(row.area_cm2) / 3.14159265) ** 0.5 * 10
        thick, again = f"{row.thickness_mm.normalize():f}", _times(row.rerolls)
        makes = f"One batch makes {row.cookies} cookies of {size:.0f} mm"
        return f"{makes}, rolled {thick} mm, scraps rolled again {again}."
    return f"One batch makes {grams(made.grams)} of stiff icing."


def _times(count: int) -> str:
    return ("not at all", "once", "twice", "three times")[min(3, count)]


def _part(part, wrong) -> dict:
    line = Line(part.amount, part.unit, part.name)
    return {
        "part": part,
        "text": written(part.amount, part.unit, part.name),
        "grams": "" if part.grams is None else f"{'about ' if part.about else ''}{grams(part.grams)}",
        "question": weigh(line).why if part.grams is None else "",
        "allergens": ", ".join(allergens_of_part(part)),
        "wrong": wrong[0] if wrong else "",
        "typed": wrong[1] if wrong else "",
    }


def _scaled(row, made, form) -> dict | None:
    """Whole batches for so many cookies of a size, and what goes into them."""
    if row.what != Recipe.What.DOUGH or not form.is_bound or not form.is_valid():
        return None
    data = form.cleaned_data
    area = area_of_round(float(data["across_mm"])) if data["across_mm"] else float(row.area_cm2)
    thick = float(data["thickness_mm"] or row.thickness_mm)
    rerolls = row.rerolls if data["rerolls"] is None else data["rerolls"]
    fits = made.yields(area, thick, rerolls)
    batches, need = made.for_cookies(data["cookies"], area_cm2=area, thickness_mm=thick, rerolls=rerolls)
    about = {part.name for part in row.parts.all() if part.about}
    rows = [
        (item.name, f"{'about ' if item.name in about else ''}{grams(item.grams)}")
        for item in need.ingredients
    ]
    word = "batch" if batches == 1 else "batches"
    head = f"{batches} {word}: {data['cookies']} cookies, {fits} from a batch at this size."
    return {"head": head, "rows": rows, "missing": made.unknown}
