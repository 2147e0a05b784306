"""What an item's packet says, and what is not to be eaten."""

from decimal import Decimal

import pytest

from bakery.designs.models import Layer
from bakery.designs.safety import inedible_in
from bakery.stock import recipes
from bakery.stock.models import Recipe, RecipePart, StockItem
from tests import factories as make

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def butter():
    make.StudioFactory()
    return make.StockItemFactory(
        name="Butter", supplier="Capstan Stores", pack_price=D("2.10"), pack_size=D(250)
    )


def about(**more):
    return {"pack_size": "0.5 kg", "pack_price": "3,90", "supplier": "Quay Dairy", "lead_days": "2",
            "margin_days": "1", "keeps_open_days": "28", "allergens": "milk",
            "edible": "on"} | more  # fmt: skip


def test_what_the_packet_says_is_written_down(signed_in, butter):
    assert signed_in.get(f"/cupboard/{butter.pk}/about/").status_code == 200
    assert signed_in.post(f"/cupboard/{butter.pk}/about/", about()).status_code == 302
    butter.refresh_from_db()
    assert (butter.pack_size, butter.pack_price, butter.supplier) == (D(500), D("3.90"), "Quay Dairy")
    assert (butter.lead_days, butter.margin_days, butter.keeps_open_days) == (2, 1, 28)
    assert (butter.allergens, butter.edible, butter.alcohol) == ("milk", True, False)
    signed_in.post(f"/cupboard/{butter.pk}/about/", {"edible": "on"})
    butter.refresh_from_db()
    assert (butter.pack_size, butter.lead_days, butter.supplier, butter.pack_price) == (D(500), 2, "", None)


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"pack_size": "-2"}, "Less than nothing"),
        ({"pack_size": "2 furlongs"}, "no measure known here"),
        ({"pack_size": "0"}, "A packet holds something"),
        ({"pack_size": "9999999 kg"}, "More than any cupboard holds"),
        ({"pack_price": "lots"}, "A price is a number"),
        ({"pack_price": "-1"}, "never less than nothing"),
        ({"lead_days": "-1"}, "a whole number of days"),
        ({"lead_days": "1.5"}, "a whole number of days"),
        ({"margin_days": "9999"}, "a whole number of days"),
        ({"supplier": "x" * 200}, "80 letters"),
        ({"allergens": "x" * 200}, "120 letters"),
    ],
)
def test_a_wrong_field_gets_a_sentence_and_nothing_is_lost(signed_in, butter, wrong, sentence):
    answer = signed_in.post(f"/cupboard/{butter.pk}/about/", about(**wrong))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert "milk" in page or "allergens" in wrong
    butter.refresh_from_db()
    assert butter.supplier == "Capstan Stores"


def test_drops_are_asked_of_bottles_only(signed_in, butter):
    bottle = make.StockItemFactory(name="Sea blue", group="airbrush", unit="drop", pack_size=D(400))
    assert "Drops in a millilitre" in signed_in.get(f"/cupboard/{bottle.pk}/about/").content.decode()
    assert "Drops in a millilitre" not in signed_in.get(f"/cupboard/{butter.pk}/about/").content.decode()
    page = signed_in.post(
        f"/cupboard/{bottle.pk}/about/", about(pack_size="400", drops_per_ml="0")
    ).content.decode()
    assert "From 1 to 200 drops" in page
    signed_in.post(f"/cupboard/{bottle.pk}/about/", about(pack_size="400", drops_per_ml="22.5"))
    bottle.refresh_from_db()
    assert bottle.drops_per_ml == D("22.5")


def test_an_empty_label_is_no_promise_that_there_is_nothing_in_it(butter):
    recipe = Recipe.objects.create(what="dough", name="Plain")
    part = RecipePart.objects.create(recipe=recipe, name="butter", item=butter, amount=D(100), grams=D(100))
    assert recipes.allergens_of_part(part) == ("milk",)
    butter.allergens = "milk, may hold nuts"
    assert recipes.allergens_of_part(part) == ("milk", "may hold nuts")
    odd = make.StockItemFactory(name="Grandmother's mix")
    part = RecipePart(recipe=recipe, name="mix", item=odd, amount=D(1))
    assert recipes.unsure_of(part)


def test_what_is_not_marked_edible_is_said_at_the_cupboard_and_at_the_design(signed_in, butter):
    dust = make.StockItemFactory(name="Disco dust", group="dust", edible=False)
    gold = make.ColourFactory(name="Gold")
    make.ColourPartFactory(colour=gold, item=dust)
    design = make.DesignFactory()
    layer = make.LayerFactory(design=design, kind=Layer.Kind.FLOOD)
    make.LayerColourFactory(layer=layer, colour=gold)
    said = "Gold comes from Disco dust, which is not marked edible"
    assert said in inedible_in(design.layers.all())[0]
    for page in (f"/designs/{design.slug}/", f"/designs/{design.slug}/change/"):
        assert said in signed_in.get(page).content.decode()
    assert "not marked edible: keep it off" in signed_in.get("/cupboard/").content.decode()
    assert "Not marked edible" in signed_in.get(f"/cupboard/{dust.pk}/").content.decode()
    StockItem.objects.update(edible=True)
    assert inedible_in(design.layers.all()) == []
