"""The colour book's and the swatches' writes: safe to repeat, gel kept out of the gun."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from bakery.stock import colour_book, swatches
from bakery.stock.colour_book import Part
from bakery.stock.mixing import parts_of
from bakery.stock.models import Colour, Swatch
from tests import factories as make

pytestmark = pytest.mark.django_db


def bottle(name="Blue, airbrush", shade="#2f5f7a", **more):
    return make.StockItemFactory(name=name, group="airbrush", unit="drop", hex=shade, **more)


def gel(name="Navy gel"):
    return make.StockItemFactory(name=name, group="gel", unit="drop", hex="#1f2f5c")


def save(**more):
    return colour_book.save_colour(**{"name": "Slate", "medium": "icing", "hex": "#5D708A"} | more)


def test_a_colour_said_twice_is_one_and_parts_are_replaced():
    navy, paste = gel(), gel("Black gel")
    first = save(parts=[Part(navy, Decimal(4)), Part(paste, grams=Decimal("0.3"))])
    assert save(parts=[Part(navy, Decimal(4)), Part(paste, grams=Decimal("0.3"))]) == first
    assert first.hex == "#5d708a"
    save(colour=first, parts=[Part(navy, Decimal(5))])
    assert [(part.item, part.drops) for part in first.parts.all()] == [(navy, 5)]


def test_another_colour_may_not_take_a_name_that_is_there():
    save()
    with pytest.raises(ValidationError, match="in the book already"):
        save(hex="#111111")
    assert save(medium="airbrush").pk != Colour.objects.get(medium="icing").pk


def test_gel_in_the_gun_is_refused_with_its_reason():
    with pytest.raises(ValidationError, match="clog the nozzle"):
        save(medium="airbrush", parts=[Part(gel(), Decimal(4))])
    assert not Colour.objects.exists()


@pytest.mark.parametrize("wrong", ["twice", "nothing", "many"])
def test_parts_that_make_no_sense_are_refused(wrong):
    navy = gel()
    parts = {"twice": [Part(navy, Decimal(1)), Part(navy, Decimal(2))], "nothing": [Part(navy)],
             "many": [Part(gel(f"Gel {n}"), Decimal(1)) for n in range(9)]}[wrong]  # fmt: skip
    with pytest.raises(ValidationError):
        save(parts=parts)


def test_a_paste_by_the_gram_goes_into_the_books():
    paste = make.StockItemFactory(name="Red paste", group="gel", unit="g")
    row = save(parts=[Part(paste, grams=Decimal("1.5"))])
    assert parts_of(row, Decimal(200)) == [(paste, Decimal(3))]


def sprayed(drops, **more):
    said = {"drops": drops, "ground": "#f4f1e8", "coats": 1, "hex": "#6d8fa3"} | more
    return swatches.add_swatch(**said)


def test_a_swatch_said_twice_is_one_and_later_it_is_another():
    blue, white = bottle(), bottle("White, airbrush", "#fdfcf6", shake_first=True)
    first = sprayed({blue: 1, white: 3})
    assert sprayed({blue: 1, white: 3}) == first
    later = sprayed({blue: 1, white: 3}, at=timezone.now() + timedelta(hours=1))
    assert later != first


@pytest.mark.parametrize("drops", [{}, {"blue": 0}, {"blue": 501}, {"gel": 3}])
def test_a_swatch_without_sense_is_refused(drops):
    found = {"blue": bottle(), "gel": gel()}
    with pytest.raises(ValidationError):
        sprayed({found[name]: n for name, n in drops.items()})
    assert not Swatch.objects.exists()


def test_what_holds_white_covers_even_if_nobody_said_so():
    assert swatches.kind_of(bottle("White, airbrush", "#fdfcf6", shake_first=True)) == "white"
    assert swatches.kind_of(bottle("Rose, airbrush", "#d98a96", shake_first=True)) == "opaque"
    assert swatches.kind_of(bottle("Ink, airbrush")) == "dye"


def test_bottles_learn_from_a_swatch_and_forget_a_refused_one():
    blue, white = bottle(), bottle("White, airbrush", "#fdfcf6", hides="white")
    row = sprayed({blue: 1, white: 3}, hex="#8fb4c6")

    def fit():
        items = swatches.airbrush_bottles()
        known = swatches.learnt(items, swatches.swatches_that_count(items))
        return {one.id: one.fit for one in known.bottles}[str(blue.pk)]

    assert fit().swatches == 1
    assert any(abs(band) > 0.01 for band in fit().bands)
    swatches.refuse_swatch(swatch=row, refused=True)
    assert fit().swatches == 0
    assert fit().scattering == pytest.approx(0, abs=1e-9)
    swatches.refuse_swatch(swatch=row, refused=False)
    assert swatches.forget_bottle(item=blue) == 1
    assert swatches.forget_bottle(item=blue) == 0
    assert fit().swatches == 0


def test_rows_that_make_no_sense_are_passed_over():
    blue = bottle()
    for drops in ([], {}, {"x": 1}, {str(blue.pk): "many"}, {str(blue.pk): -1}, {"999": 2}):
        Swatch.objects.create(drops=drops, hex="#888888")
    items = swatches.airbrush_bottles()
    assert swatches.swatches_that_count(items) == []
