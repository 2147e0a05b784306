"""Versions side by side, and what would make it cheaper, as pages: presses, bad input, what only she sees."""

import re
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from bakery.orders.adapters import order_spec
from bakery.orders.data import LineData, OrderData
from bakery.orders.models import Option, Order, Quote
from bakery.orders.pricing import panel, priced
from bakery.orders.queries import order_by_number
from bakery.orders.quotes import make_quote
from bakery.orders.services import take_order

pytestmark = pytest.mark.django_db


@pytest.fixture
def order(clock):
    data = OrderData(
        hand_over_at=timezone.now() + timedelta(days=20), who="Boathouse long table", title="Supper",
        lines=(LineData("stencil_detail", 36, colours=5), LineData("lettered", 8)), allergy_state="none",
    )  # fmt: skip
    return order_by_number(take_order(token=uuid4(), data=data).number)


def words_of(reply) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", reply.content.decode()).split())


def here(order):
    return reverse("order_options", args=[order.number])


def press(client, order, **fields):
    return client.post(here(order), fields, follow=True)


def test_a_press_on_the_order_takes_a_cheaper_way_and_says_the_new_sum(order, admin_client):
    best = panel(order_spec(order)).savings[0]
    before = priced(order_spec(order)).total
    page = admin_client.get(reverse("order_cheaper", args=[order.number])).content.decode()
    assert best.use in page
    assert best.look in page
    fields = {"use": best.use, "revision": order.revision}
    said = words_of(admin_client.post(reverse("order_simpler", args=[order.number]), fields, follow=True))
    after = priced(order_spec(order_by_number(order.number))).total
    assert before - after == best.amount
    assert f"{best.amount:.0f} less" in said
    assert "made simpler" in said
    fields = {"use": "simpler:1=", "revision": order.revision + 1}
    admin_client.post(reverse("order_simpler", args=[order.number]), fields)
    assert priced(order_spec(order_by_number(order.number))).total == before


def test_a_press_from_another_tab_changes_nothing(order, admin_client):
    fields = {"use": "simpler:1=without.piped.1", "revision": 77}
    said = words_of(admin_client.post(reverse("order_simpler", args=[order.number]), fields, follow=True))
    assert "another tab" in said
    assert order_by_number(order.number).lines.all()[0].ways == []


def test_two_versions_beside_it_one_quote_and_one_chosen(order, admin_client):
    press(admin_client, order, beside="simpler:1=without.piped.1")
    said = words_of(press(admin_client, order, **{"do": "offer", "new-q-1": "2 dozen", "new-q-2": "8"}))
    for words in ("A As asked", "B Without the dots", "C 32 instead of 44", "Pays you", "Your floor",
                  "less than asked", "Make a quote with all 3"):  # fmt: skip
        assert words in said, words
    column = said[said.index("B Without the dots") : said.index("C 32 instead of 44")]
    assert "Without the dots" not in column.removeprefix("B Without the dots").split("£")[0], (
        "it is the title"
    )
    admin_client.post(reverse("order_quote", args=[order.number]))
    quote = Quote.objects.get()
    assert len(quote.snapshot["options"]) == 3
    paper = words_of(admin_client.get(f"/papers/quote/{order.number}/1/"))
    for words in ("Three to choose from", "B: Without the dots", "C: 32 instead of 44", "A, B or C"):
        assert words in paper, words
    dotless = Option.objects.get(title="Without the dots")
    done = press(admin_client, order, do=f"choose:{dotless.pk}", revision=order.revision)
    assert "They chose: Without the dots" in words_of(done)
    second = words_of(admin_client.get(f"/papers/quote/{order.number}/2/"))
    assert "You chose B: without the dots." in second
    assert "A, B or C" not in second
    assert "A later version took its place" in words_of(admin_client.get(f"/papers/quote/{order.number}/1/"))
    assert Order.objects.count() == 1


def test_what_she_earns_and_her_floor_are_on_no_paper(order, admin_client):
    from bakery.paperwork.quote import quote_paper

    press(admin_client, order, beside="simpler:1=without.piped.1")
    quote = make_quote(order=order_by_number(order.number))
    hers = quote.snapshot["hers"]
    secret = {hers["pays"], hers["floor"]} | {one[key] for one in hers["options"].values()
                                              for key in ("pays", "floor")}  # fmt: skip
    assert len(secret) >= 3
    paper = str(quote_paper(quote))
    page = admin_client.get(f"/papers/quote/{order.number}/1/").content.decode()
    for text in (paper, page):
        assert "hers" not in text
        assert "an hour" not in text
        assert "floor" not in text.lower().replace("flooring", "")
        assert not any(figure in text for figure in secret)


def test_a_quote_that_ran_out_says_so_until_it_is_agreed(order, admin_client, clock):
    make_quote(order=order)
    where = f"/papers/quote/{order.number}/1/"
    assert "ran out" not in words_of(admin_client.get(where))
    clock.move_to(timezone.now() + timedelta(days=5))
    assert "This quote ran out on" in words_of(admin_client.get(where))
    assert "ran out" in words_of(admin_client.get(reverse("order", args=[order.number])))
    Order.objects.update(state="booked")
    assert "ran out" not in words_of(admin_client.get(where))


@pytest.mark.parametrize(("fields", "sentence"), [
    ({"new-q-1": "0", "new-q-2": "8"}, "at least 1"),
    ({"new-q-1": "many", "new-q-2": "8"}, "whole number"),
    ({"new-q-1": "99999999", "new-q-2": "8"}, "up to 5,000"),
    ({"new-q-1": "36", "new-q-2": "8"}, "asked for already"),
    ({"new-q-1": "24", "new-title": "x" * 300}, "Too long"),
])  # fmt: skip
def test_bad_numbers_get_a_sentence_and_stay_in_the_field(order, admin_client, fields, sentence):
    reply = admin_client.post(here(order), fields | {"do": "offer"})
    assert reply.status_code == 422
    assert sentence in words_of(reply)
    assert f'value="{fields["new-q-1"]}"' in reply.content.decode()
    assert not Option.objects.exists()


@pytest.mark.parametrize("do", [
    "", "choose:", "choose:999", "choose:<b>", "more:1:simpler:1=x", "drop:٣", "change:-1", "again:0", "x:1",
])  # fmt: skip
def test_hostile_presses_are_never_a_fault_of_ours(order, admin_client, do):
    assert admin_client.post(here(order), {"do": do, "revision": "x"}).status_code in (302, 404)
    assert admin_client.post(here(order), {"beside": do}).status_code == 302
    assert not Option.objects.exists()


def test_an_option_is_changed_put_away_and_offered_again(order, admin_client):
    press(admin_client, order, beside="simpler:1=without.piped.1")
    option = Option.objects.get()
    key = f"v{option.pk}"
    fields = {"do": f"change:{option.pk}", f"{key}-q-1": "30", f"{key}-q-2": "8", f"{key}-title": "Thirty"}
    press(admin_client, order, **fields)
    option.refresh_from_db()
    assert (option.title, option.changes["1"]["quantity"]) == ("Thirty", 30)
    press(admin_client, order, do=f"more:{option.pk}:simpler:1=colours")
    option.refresh_from_db()
    assert option.changes["1"]["ways"] == ["without.piped.1", "colours"]
    press(admin_client, order, do=f"drop:{option.pk}")
    assert not Option.objects.get().offered
    press(admin_client, order, do=f"again:{option.pk}")
    assert Option.objects.get().offered


def test_each_version_asks_the_plan_for_itself(order, admin_client):
    press(admin_client, order, beside="simpler:1=without.piped.1")
    for version in ("asked", str(Option.objects.get().pk), "<b>", "999"):
        where = reverse("order_option_promise", args=[order.number])
        reply = admin_client.get(where, {"version": version})
        assert reply.status_code == 200
        assert re.search(r"Yes|No|Not sure", words_of(reply))
    both = words_of(admin_client.get(here(order), {"ask": "1"}))
    assert len(re.findall(r"(?:Yes,|No, not by|Not sure about) ", both)) == 2


def test_what_is_booked_has_no_choice_any_more(order, admin_client):
    press(admin_client, order, beside="simpler:1=without.piped.1")
    Order.objects.update(state="booked")
    said = words_of(press(admin_client, order, do=f"choose:{Option.objects.get().pk}", revision=1))
    assert "what was agreed stands" in said
    assert order_by_number(order.number).lines.all()[0].ways == []


def test_a_bounded_number_of_queries_and_no_stranger(
    order, admin_client, client, django_assert_max_num_queries
):
    press(admin_client, order, beside="simpler:1=without.piped.1")
    press(admin_client, order, **{"do": "offer", "new-q-1": "24", "new-q-2": "8"})
    with django_assert_max_num_queries(45):
        assert admin_client.get(here(order)).status_code == 200
    with django_assert_max_num_queries(45):
        assert admin_client.get(reverse("order_cheaper", args=[order.number])).status_code == 200
    for name in ("order_options", "order_cheaper", "order_option_promise"):
        assert client.get(reverse(name, args=[order.number])).status_code == 302


def test_on_new_order_a_press_makes_the_line_simpler_and_back(admin_client, clock):
    fields = {"token": str(uuid4()), "line-0-quantity": "40", "line-0-kind": "stencil_detail",
              "line-0-colours": "5", "hand_over": "in 3 weeks", "allergy_state": "none"}  # fmt: skip
    page = admin_client.post(reverse("new_order"), fields | {"do": "look"}).content.decode()
    use = re.search(r'value="(use:simpler:0=[a-z.0-9]+)"', page)[1]
    simpler = admin_client.post(reverse("new_order"), fields | {"do": use})
    assert "Made simpler:" in words_of(simpler)
    tag = re.search(r'name="line-0-ways" value="([^"]+)"', simpler.content.decode())[1]
    admin_client.post(reverse("new_order"), fields | {"line-0-ways": tag, "do": "keep"})
    kept = Order.objects.get()
    assert kept.lines.get().ways == [use.partition("=")[2]]
    shown = re.search(r"saves £([\d.]+)", page)[1]
    dearer = re.search(r"price__figure\">£([\d.]+)", page)[1]
    total = priced(order_spec(order_by_number(kept.number))).total
    assert Decimal(dearer) - total == Decimal(shown)


def test_the_plan_leaves_off_what_was_left_off_and_keeps_its_wafers(clock, admin_client):
    from bakery.designs.models import Design, Layer
    from bakery.orders.adapters import layer_rows
    from bakery.orders.simpler import make_simpler
    from bakery.production.models import Job
    from bakery.production.services import make_plan
    from bakery.production.wafer.pieces import of_jobs, of_order
    from bakery.studio.example.fill import fill_example

    fill_example(timezone.now())
    design = Design.objects.get(name="Ammonite")
    Layer.objects.create(design=design, position=90, kind="wafer", piece_width_mm=20, piece_height_mm=20)
    data = OrderData(
        hand_over_at=timezone.now() + timedelta(days=20), allergy_state="none", title="Digs",
        lines=(LineData("very_detailed", 12, design=design.pk, colours=4),),
    )  # fmt: skip
    order = order_by_number(take_order(token=uuid4(), data=data).number)
    make_simpler(order=order, revision=1, use="simpler:1=without.piped.1")
    make_simpler(order=order, revision=2, use="simpler:1=without.spray.2")
    order = order_by_number(order.number)
    assert [layer.kind for layer in layer_rows(order.lines.all()[0])] == ["flood", "spray", "wafer"]
    Order.objects.filter(pk=order.pk).update(state="booked")
    make_plan(now=timezone.now(), reason="booked")
    kinds = set(Job.objects.filter(order=order).values_list("kind", flat=True))
    assert "spray" in kinds
    assert "pipe" not in kinds
    far = timezone.now() + timedelta(days=60)
    assert [one.count for one in of_order(order)] == [14]
    assert sum(one.count for one in of_jobs(timezone.now(), far) if one.what_for == "Digs") == 14
    make_simpler(order=order, revision=3, use="simpler:1=without.wafer.1")
    assert of_order(order_by_number(order.number)) == []
