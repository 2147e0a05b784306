"""Her recipes: one number is enough, units are never guessed, the usual one feeds plan and price."""

from decimal import Decimal
from fractions import Fraction

import pytest

from bakery.craft.ingredients import parse_line
from bakery.stock import recipes
from bakery.stock.models import Recipe
from bakery.studio.queries import the_studio
from bakery.studio.services import change_settings
from tests import factories as make

pytestmark = pytest.mark.django_db
LINES = "375 g flour\n1 cup butter\n1 cup sugar\n2 eggs\n\n1 tbsp golden syrup"


@pytest.fixture(autouse=True)
def studio(db):
    return make.StudioFactory(cookies_per_batch=20)


def saved(lines=LINES, **more):
    values = {"what": "dough", "name": "Harbour dough", "cookies": 24} | more
    return recipes.save_recipe(lines=tuple(parse_line(row) for row in lines.split("\n") if row), **values)


def test_before_she_writes_one_down_a_plain_one_of_her_size_counts():
    change_settings(values={"cookies_per_batch": 30})
    plain = recipes.usual("dough")
    assert plain.cookies == 30
    assert plain.ingredients[0].grams == Fraction(375 * 30, 20)
    assert recipes.usual("icing").grams == 561


def test_one_number_is_enough_to_start():
    recipes.save_recipe(what="dough", name="My dough", cookies=18)
    assert recipes.usual("dough").cookies == 18
    assert recipes.usual("dough").grams > 0
    assert the_studio().cookies_per_batch == 18


def test_grams_come_from_the_table_and_what_nobody_knows_stays_open():
    row = saved()
    grams = {part.name: part.grams for part in row.parts.all()}
    assert grams == {"flour": 375, "butter": 227, "sugar": 200, "eggs": 100, "golden syrup": None}
    about = {part.name for part in row.parts.all() if part.about}
    assert about == {"butter", "sugar", "eggs", "golden syrup"}
    usual = recipes.usual("dough")
    assert usual.unknown == ("golden syrup",)
    assert usual.grams == 902
    assert usual.allergens == ("wheat", "milk", "egg")


def test_what_she_weighed_stays_when_the_recipe_is_written_anew():
    row = saved()
    syrup = row.parts.get(name="golden syrup")
    recipes.weigh_part(part=syrup, grams_each=Decimal("21"))
    saved(LINES.replace("1 tbsp golden", "3 tbsp golden"))
    assert row.parts.get(name="golden syrup").grams == 63
    assert recipes.usual("dough").unknown == ()


def test_the_packet_of_that_name_is_found_and_its_label_counts():
    flour = make.StockItemFactory(name="Plain flour", allergens="wheat, may hold soya")
    make.StockItemFactory(name="Sugar")
    make.StockItemFactory(name="Icing sugar")
    row = saved()
    assert row.parts.get(name="flour").item == flour
    assert row.parts.get(name="sugar").item.name == "Sugar"
    assert recipes.usual("dough").allergens[:2] == ("wheat", "may hold soya")
    assert recipes.usual("dough").ingredients[0].item == str(flour.pk)


def test_plan_and_recipe_keep_to_one_number(django_capture_on_commit_callbacks):
    row = saved(area_cm2=Decimal("92"))
    assert the_studio().cookies_per_batch == 48, "small ones from a batch counted with a large cutter"
    with django_capture_on_commit_callbacks(execute=True):
        change_settings(values={"cookies_per_batch": 20})
    row.refresh_from_db()
    assert row.cookies == 10


def test_there_is_one_usual_dough_and_dropping_it_names_the_next():
    first, second = saved(), saved(name="Ginger dough", cookies=16)
    assert Recipe.objects.get(usual=True) == first
    recipes.make_usual(row=second)
    recipes.make_usual(row=second)
    assert Recipe.objects.get(usual=True) == second
    assert the_studio().cookies_per_batch == 16
    recipes.drop_recipe(row=second)
    recipes.drop_recipe(row=second)
    assert Recipe.objects.get(usual=True) == first


def test_saying_it_twice_keeps_one():
    saved()
    saved()
    assert Recipe.objects.count() == 1
    assert Recipe.objects.get().parts.count() == 5


def post(client, **more):
    data = {"name": "Harbour dough", "cookies": "24", "lines": LINES} | more
    return client.post("/cupboard/recipes/add/?what=dough", data)


def test_a_recipe_through_the_pages(signed_in, django_assert_max_num_queries):
    assert "enough to start" in signed_in.get("/cupboard/recipes/").content.decode()
    answer = post(signed_in)
    assert answer.status_code == 302
    page = signed_in.get(answer.url).content.decode()
    assert "How many grams is 1 tbsp of golden syrup? Weigh it once." in page
    assert "about 227 g" in page
    part = Recipe.objects.get().parts.get(name="golden syrup")
    wrong = signed_in.post(f"/cupboard/recipes/part/{part.pk}/grams/", {"grams": "-4"})
    assert wrong.status_code == 422
    assert "It weighs something." in wrong.content.decode()
    assert 'value="-4"' in wrong.content.decode()
    signed_in.post(f"/cupboard/recipes/part/{part.pk}/grams/", {"grams": "21"})
    with django_assert_max_num_queries(12):
        page = signed_in.get(
            answer.url + "?cookies=50&across_mm=76&thickness_mm=6&rerolls=1"
        ).content.decode()
    assert "3 batches: 50 cookies, 24 from a batch at this size." in page
    assert "How many grams" not in page
    with django_assert_max_num_queries(10):
        signed_in.get("/cupboard/recipes/")


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("lines", "375 g flour\nsalt", "Line 2: “salt” needs an amount in front"),
        ("lines", "-3 cups sugar", "needs an amount in front"),
        ("lines", "9999999 g flour", "more than any batch takes"),
        ("lines", "1,000 g flour", "Write it without the comma"),
        ("lines", "1/0 cup sugar", "Line 1"),
        ("lines", "<script>alert(1)</script>", "&lt;script&gt;"),
        ("lines", "\n".join(["1 g salt"] * 41), "up to 40"),
        ("cookies", "-3", "A batch makes at least one."),
        ("cookies", "1e9", "A whole number, please."),
        ("cookies", "99999", "More than 500"),
        ("name", "", "Give it a name."),
        ("name", "n" * 61, "60 letters"),
        ("thickness_mm", "900", "Dough is 1 to 30 mm."),
        ("rerolls", "7", "than a kitchen table holds"),
    ],
)
def test_bad_input_is_answered_beside_its_field_and_nothing_is_lost(signed_in, field, typed, said):
    answer = post(signed_in, **{field: typed})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page
    assert "field__error" in page
    assert "<script>alert" not in page
    assert 'value="Harbour dough"' in page or field == "name"
    assert not Recipe.objects.exists()


def test_a_unit_nobody_knows_is_asked_about_not_refused(signed_in):
    answer = post(signed_in, lines="2 blorps moon dust")
    page = signed_in.get(answer.url).content.decode()
    assert "How many grams is one of “blorps moon dust”? Weigh it once." in page
    assert "Not weighed, so in no amount and no price" in page


def test_addresses_that_lead_nowhere(signed_in):
    assert signed_in.get("/cupboard/recipes/99/").status_code == 404
    assert signed_in.post("/cupboard/recipes/part/99/grams/", {"grams": "1"}).status_code == 404
    assert signed_in.get("/cupboard/recipes/add/?what=<b>").status_code == 200
    row = saved()
    bad = f"/cupboard/recipes/{row.pk}/?cookies=-1&across_mm=x&thickness_mm=&rerolls="
    assert "At least one." in signed_in.get(bad).content.decode()
    part = row.parts.first()
    assert signed_in.post(f"/cupboard/recipes/part/{part.pk}/packet/", {"item": "²"}).status_code == 302


def test_prices_are_made_from_the_usual_recipes():
    from bakery.studio.adapters import prices

    saved()
    assert prices().dough.name == "Harbour dough"
    assert prices().dough.grams == 902
    assert prices().icing.grams == 561


def test_as_long_as_nothing_weighs_anything_a_plain_one_counts():
    recipes.save_recipe(
        what="icing", name="Moon icing", cookies=20, lines=(parse_line("2 blorps moon dust"),)
    )
    icing = recipes.usual("icing")
    assert (icing.grams, icing.unknown) == (561, ("blorps moon dust",))
