"""Her recipes as the core wants them, and every write to them."""

from decimal import Decimal
from fractions import Fraction

from django.db import transaction
from django.db.models import Prefetch, QuerySet

from bakery.craft import recipes as core
from bakery.craft.ingredients import Line, allergens_of, food_of, weigh, written
from bakery.studio.queries import the_studio
from bakery.studio.services import change_settings

from .measures import item_named
from .models import Recipe, RecipePart, StockItem

PLAIN = {Recipe.What.DOUGH: core.DOUGH, Recipe.What.ICING: core.ICING}
COUNTED_WITH = 46.0
"""Area [cm2] and thickness of the cookie that the studio's "cookies from a batch" speaks of."""
THOUSANDTH = Decimal("0.001")


def with_parts() -> QuerySet[Recipe]:
    """Recipes with what goes in and its packets: two queries for any number of them."""
    return Recipe.objects.prefetch_related(Prefetch("parts", RecipePart.objects.select_related("item")))


def all_recipes() -> list[Recipe]:
    return list(with_parts())


def usual(what: str) -> core.Recipe:
    """The recipe she makes unless she says otherwise; until she has one, a plain one of usual size."""
    return usuals()[what]


def usuals() -> dict[str, core.Recipe]:
    """The usual dough and icing; three queries at most."""
    found = {row.what: as_core(row) for row in with_parts().filter(usual=True)}
    if Recipe.What.DOUGH not in found:
        found[Recipe.What.DOUGH.value] = _plain_for(the_studio().cookies_per_batch)
    return {Recipe.What.ICING.value: PLAIN[Recipe.What.ICING]} | found


def as_core(row: Recipe) -> core.Recipe:
    """A recipe for the core. As long as nothing in it has a weight it is a plain one for as many cookies."""
    parts = list(row.parts.all())
    ingredients = tuple(_ingredient(part) for part in parts if part.grams)
    unknown = tuple(part.name for part in parts if not part.grams)
    if not ingredients:
        plain = _plain_for(row.cookies) if row.what == Recipe.What.DOUGH else PLAIN[row.what]
        ingredients = plain.ingredients
    return core.Recipe(
        row.name,
        ingredients,
        cookies=row.cookies if row.what == Recipe.What.DOUGH else 0,
        thickness_mm=float(row.thickness_mm),
        area_cm2=float(row.area_cm2),
        rerolls=row.rerolls,
        unknown=unknown,
    )


def _plain_for(cookies: int) -> core.Recipe:
    return core.DOUGH.times(Fraction(cookies, core.DOUGH.cookies))


def _ingredient(part: RecipePart) -> core.Ingredient:
    key = str(part.item_id) if part.item_id else ""
    return core.Ingredient(part.name, Fraction(part.grams), allergens_of_part(part), key)


def allergens_of_part(part: RecipePart) -> tuple[str, ...]:
    """Those on its packet's label; where nobody has written that down, those its plain food is made of."""
    label = part.item.allergens if part.item_id else ""
    said = tuple(word for text in label.split(",") if (word := text.strip()))
    return said or allergens_of(part.name) or (allergens_of(part.item.name) if part.item_id else ())


def unsure_of(part: RecipePart) -> bool:
    """Whether nothing is known about its allergens: no label written down, and no food of the table."""
    if part.item_id and (part.item.allergens.strip() or food_of(part.item.name) is not None):
        return False
    return food_of(part.name) is None


@transaction.atomic
def save_recipe(
    *, what: str, name: str, cookies: int, lines: tuple[Line, ...] | None = None, row: Recipe | None = None,
    area_cm2=None, thickness_mm=None, rerolls: int | None = None, note: str = "", usual: bool = False,
) -> Recipe:  # fmt: skip
    """A recipe as she wrote it; `lines` None leaves what goes in as it is. The first of a kind is the usual.

    Grams and packets she gave for an ingredient stay with it when its line is written anew.
    """
    if row is None:
        row = Recipe.objects.select_for_update().filter(what=what, name__iexact=name).first()
    else:
        row = Recipe.objects.select_for_update().get(pk=row.pk)
    row = row or Recipe(what=what)
    row.name, row.cookies, row.note = " ".join(name.split()), cookies, note
    for field, value in (("area_cm2", area_cm2), ("thickness_mm", thickness_mm), ("rerolls", rerolls)):
        if value is not None:
            setattr(row, field, value)
    first = not Recipe.objects.filter(what=what, usual=True).exclude(pk=row.pk).exists()
    if usual and not first:
        Recipe.objects.filter(what=what, usual=True).exclude(pk=row.pk).update(usual=False)
    row.usual = usual or first or row.usual
    row.full_clean()
    row.save()
    if lines is not None:
        _write_parts(row, lines)
    _tell_the_studio(row)
    return row


def _write_parts(row: Recipe, lines) -> None:
    known = {(part.name.lower(), part.unit.lower()): part for part in row.parts.all()}
    packets = {part.name.lower(): part.item_id for part in known.values() if part.item_id}
    row.parts.all().delete()
    items = list(StockItem.objects.filter(group__in=(StockItem.Group.DRY, StockItem.Group.FRESH)))
    for position, line in enumerate(lines):
        amount = _number(line.amount)
        part = RecipePart(
            recipe=row, position=position, name=line.name, amount=amount, unit=line.unit,
            item_id=packets.get(line.name.lower()) or getattr(item_named(line.name, items), "pk", None),
        )  # fmt: skip
        weighed = weigh(line)
        part.about = weighed.about
        part.grams = None if weighed.grams is None else _number(weighed.grams)
        before = known.get((line.name.lower(), line.unit.lower()))
        if part.grams is None and before and before.grams is not None and before.amount:
            part.grams = (before.grams * amount / before.amount).quantize(THOUSANDTH)
        part.full_clean(validate_unique=False, validate_constraints=False)
        part.save()


def _number(value: Fraction) -> Decimal:
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return max(THOUSANDTH, exact.quantize(THOUSANDTH))


@transaction.atomic
def weigh_part(*, part: RecipePart, grams_each: Decimal) -> RecipePart:
    """What one of its measure weighs: she weighed it once."""
    part = RecipePart.objects.select_for_update().get(pk=part.pk)
    part.grams = (grams_each * part.amount).quantize(THOUSANDTH)
    part.full_clean()
    part.save(update_fields=["grams"])
    return part


@transaction.atomic
def name_packet(*, part: RecipePart, item: StockItem | None) -> RecipePart:
    """Which packet of the cupboard it comes from."""
    part = RecipePart.objects.select_for_update().get(pk=part.pk)
    part.item = item
    part.save(update_fields=["item"])
    return part


@transaction.atomic
def make_usual(*, row: Recipe) -> Recipe:
    """This one from now on."""
    row = Recipe.objects.select_for_update().get(pk=row.pk)
    Recipe.objects.filter(what=row.what, usual=True).exclude(pk=row.pk).update(usual=False)
    row.usual = True
    row.save(update_fields=["usual"])
    _tell_the_studio(row)
    return row


@transaction.atomic
def drop_recipe(*, row: Recipe) -> None:
    """Gone; when it was the usual one, the next of its kind takes its place."""
    row = Recipe.objects.select_for_update().filter(pk=row.pk).first()
    if row is None:
        return
    was_usual, what = row.usual, row.what
    row.delete()
    heir = Recipe.objects.filter(what=what).first() if was_usual else None
    if heir is not None:
        make_usual(row=heir)


def _tell_the_studio(row: Recipe) -> None:
    """The plan counts batches by the usual dough."""
    if row.usual and row.what == Recipe.What.DOUGH:
        change_settings(values={"cookies_per_batch": cookies_of(row)}, reason="a batch of dough changed")


def cookies_of(row: Recipe) -> int:
    """Cookies of the usual size from a batch, as the plan counts them."""
    size = float(row.area_cm2) / COUNTED_WITH
    return min(500, max(1, round(row.cookies * size)))


@transaction.atomic
def follow_the_studio() -> None:
    """A batch that she changed in Set-up changes the usual dough too."""
    row = Recipe.objects.filter(what=Recipe.What.DOUGH, usual=True).first()
    told = the_studio().cookies_per_batch
    if row is not None and cookies_of(row) != told:
        row.cookies = min(500, max(1, round(told * COUNTED_WITH / float(row.area_cm2))))
        row.save(update_fields=["cookies"])


def text_of(row: Recipe) -> str:
    """What goes in, a line each, as it was written."""
    return "\n".join(written(part.amount, part.unit, part.name) for part in row.parts.all())


__all__ = [
    "all_recipes",
    "as_core",
    "drop_recipe",
    "follow_the_studio",
    "make_usual",
    "name_packet",
    "save_recipe",
    "text_of",
    "unsure_of",
    "usual",
    "usuals",
    "weigh_part",
    "with_parts",
]
