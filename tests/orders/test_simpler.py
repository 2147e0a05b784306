"""What would make it cheaper, taken: the saving that was shown is the fall in price, to the penny."""

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from bakery.craft.costing import simpler_ways
from bakery.orders.adapters import line_drawing, order_spec, spec_of
from bakery.orders.data import LineData
from bakery.orders.edits import lines_of, take_change
from bakery.orders.forms import OrderForm, initial_of
from bakery.orders.models import Option, Order, OrderLine
from bakery.orders.pricing import house, panel, priced
from bakery.orders.queries import order_by_number
from bakery.orders.rows import data_of
from bakery.orders.services import take_order
from bakery.orders.simpler import made_simpler_words, make_simpler, with_way
from bakery.orders.ways import known_ways, read_tag, tag_of
from bakery.studio.example.fill import fill_example
from bakery.studio.services import change_settings

from .conftest import NOW, some_data

pytestmark = pytest.mark.django_db
MIXED = (LineData("stencil_detail", 30, designs=3, colours=5), LineData("lettered", 12, colours=3),
         LineData("very_detailed", 9, colours=4))  # fmt: skip


def taken(**more):
    return order_by_number(take_order(token=uuid4(), data=some_data(**more)).number)


def fields_of(data):
    form = OrderForm(initial=initial_of(data))
    fields = {bound.html_name: str(bound.value() or "") for bound in form if bound.name != "hand_over"}
    fields |= {b.html_name: str(b.value() or "") for line in form.lines for b in line}
    return fields | {"hand_over": "Sat 5 Dec 2026, 12:00", "names": "\n".join(data.names)}


def form_spec(fields):
    form = OrderForm(fields)
    form.full_clean()
    return spec_of(form.order_data(hand_over=NOW))


@pytest.mark.parametrize("names", [(), ("Ada", "Bryn", "Cass")])
@pytest.mark.parametrize("kind_minutes", [{}, {"stencil_detail": 4, "very_detailed": 20}])
def test_the_saving_shown_is_the_fall_in_price_on_the_order_and_in_the_form(names, kind_minutes):
    from bakery.designs.models import Kind

    for key, minutes in kind_minutes.items():
        Kind.objects.filter(key=key).update(minutes=minutes)
    change_settings(values={"round_to": Decimal("0.01")}, reason="to the penny")
    order = taken(lines=MIXED, names=names)
    data, before = data_of(order), priced(order_spec(order))
    found = panel(order_spec(order), numbers=None).savings
    assert found
    ways = simpler_ways(order_spec(order), *house(), most=40)
    assert len({way.code for way in ways}) >= 7
    fields = fields_of(data)
    typed = priced(form_spec(fields))
    for way in ways:
        places = {at for at, line in enumerate(order_spec(order).lines) if line.id in way.lines}
        after = priced(spec_of(with_way(data, way.code, places), order=order))
        assert before.total - after.total == way.saves, way.title
        assert before.minutes - after.minutes == way.minutes, way.title
        pressed = take_change(fields, f"simpler:{'.'.join(map(str, places))}={way.code}")
        assert typed.total - priced(form_spec(pressed)).total == way.saves, way.title


def test_every_saving_of_the_example_orders_is_exact():
    fill_example(NOW)
    found = 0
    for number in Order.objects.exclude(state="handed_over").values_list("number", flat=True):
        order = order_by_number(number)
        data, spec = data_of(order), order_spec(order)
        before = priced(spec)
        for way in simpler_ways(spec, *house(), most=40):
            places = {at for at, line in enumerate(spec.lines) if line.id in way.lines}
            after = spec_of(with_way(data, way.code, places), order=order)
            assert before.total - priced(after).total == way.saves, (number, way.title)
            found += 1
    assert found > 10


def test_taken_one_after_the_other_each_saving_is_still_exact():
    order = taken(lines=(LineData("very_detailed", 24, designs=3, colours=5),))
    for _ in range(4):
        order = order_by_number(order.number)
        best = panel(order_spec(order)).savings[0]
        before = priced(order_spec(order)).total
        make_simpler(order=order, revision=order.revision, use=best.use)
        order = order_by_number(order.number)
        assert before - priced(order_spec(order)).total == best.amount
    line = order.lines.all()[0]
    assert made_simpler_words(line)
    make_simpler(order=order, revision=order.revision, use="simpler:1=")
    assert not order_by_number(order.number).lines.all()[0].ways


def test_what_was_left_off_is_not_drawn():
    order = taken(lines=(LineData("stencil_detail", 24, colours=3),))
    assert line_drawing(order.lines.all()[0])["dots"]
    make_simpler(order=order, revision=1, use="simpler:1=without.piped.1")
    assert not line_drawing(order_by_number(order.number).lines.all()[0])["dots"]


def test_another_kind_in_the_form_forgets_the_ways():
    tag = tag_of(kind="stencil", design=None, ways=("colours",))
    assert read_tag(tag, kind="stencil", design=None) == ("colours",)
    assert read_tag(tag, kind="plain", design=None) == ()
    assert read_tag(tag, kind="stencil", design=4) == ()


@pytest.mark.parametrize("use", [
    "", "simpler", "simpler:1=", "simpler:9=plain", "simpler:1=without.piped.99", "simpler:1=<b>",
    "x:1=plain", "simpler:1.1.1=../../etc", "simpler:-1=plain", "simpler:٣=plain", "simpler:1=" + "x" * 999,
    "simpler:1=without.flood.1", "simpler:" + "1." * 500 + "=colours",
])  # fmt: skip
def test_a_hostile_press_changes_nothing_and_never_fails(use):
    order = taken()
    before = priced(order_spec(order)).total
    make_simpler(order=order, revision=1, use=use)
    assert priced(order_spec(order_by_number(order.number))).total == before
    assert lines_of(take_change(fields_of(data_of(order)), use))[0]["quantity"] == "24"


def test_rows_take_no_nonsense():
    order = taken()
    line = order.lines.all()[0]
    for bad in ("plain", [1], ["<script>"], ["plain"] * 21, {"a": 1}):
        line.ways = bad
        with pytest.raises(ValidationError):
            line.full_clean()
        assert all(isinstance(code, str) for code in known_ways(bad))
    for bad in ({}, [], {"x": {"quantity": 1}}, {"1": {}}, {"1": {"quantity": 0}}, {"1": {"quantity": True}},
                {"1": {"kind": "plain"}}, {"1": {"ways": ["no"]}}, {"1": {"quantity": 10**9}}):  # fmt: skip
        with pytest.raises(ValidationError):
            Option(order=order, title="x", changes=bad).full_clean()
    assert OrderLine.objects.get(pk=line.pk).ways == []


def test_a_line_made_simpler_goes_through_a_form_and_back():
    data = some_data(lines=(replace(MIXED[0], ways=("without.piped.1", "colour.spray.1")),))
    form = OrderForm(fields_of(data))
    form.full_clean()
    assert form.order_data().lines[0].ways == ("without.piped.1", "colour.spray.1")
    assert form.lines[0].made_simpler == "Leave off the dots; One spray colour fewer"
