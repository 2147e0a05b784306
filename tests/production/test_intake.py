"""New order from end to end, without JavaScript: words in, an answer out, and one press makes one order."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from bakery.orders.models import Order, OrderLine, Payment, State
from bakery.orders.services import cancel
from bakery.production.ways import LAST

from .conftest import NOW

pytestmark = pytest.mark.django_db

NEW = "/orders/new/"
WORDS = "24 cookies, fern stencil look, three colours, Saturday week noon. Names: Ada and Bo. No nuts please"


@pytest.fixture
def page(kitchen, signed_in):
    """The client of a kitchen with two booked orders, on a Tuesday evening."""
    return signed_in


def fields(**more) -> dict:
    """A filled form: 24 plain cookies for a Saturday eleven days on, allergies asked."""
    plain = {"token": str(uuid4()), "line-0-quantity": "24", "line-0-kind": "plain",
             "hand_over": "Sat 5 Dec, 12:00", "who": "Ostrey Museum", "title": "Late opening",
             "allergy_state": "none"}  # fmt: skip
    return {**plain, **{key.replace("__", "-"): value for key, value in more.items()}}


def body(response) -> str:
    return response.content.decode()


def words_of(response) -> str:
    """The text of a page, without pictures, in one line."""
    text = re.sub(r"<(script|svg|style).*?</\1>", " ", body(response), flags=re.S)
    text = re.sub(r"<[^>]+>", " ", text).replace("&#x27;", "'").replace("&quot;", '"').replace("&amp;", "&")
    return " ".join(text.split())


def value_of(response, name) -> str:
    found = re.search(rf'<input[^>]*name="{name}"[^>]*>', body(response))
    inside = re.search(r'value="([^"]*)"', found[0]) if found else None
    return inside[1] if inside else ""


class TestTheEmptyPage:
    def test_it_asks_for_how_many_and_when(self, page):
        response = page.get(NEW)
        assert response.status_code == 200
        assert "How many, and when?" in words_of(response)

    def test_the_six_kinds_are_drawn_with_their_minutes(self, page):
        text = body(page.get(NEW))
        assert len(re.findall(r'class="tile"', text)) == 6
        assert len(re.findall(r"\d+ min</span></button>", text)) == 6

    def test_every_form_has_a_token_of_its_own(self, page):
        assert value_of(page.get(NEW), "token") != value_of(page.get(NEW), "token")

    def test_it_needs_signing_in(self, client, db):
        assert client.get(NEW).status_code == 302


class TestTheirWords:
    def test_what_they_wrote_fills_the_form_and_is_answered(self, page):
        response = page.post(NEW, {"token": str(uuid4()), "their_words": WORDS, "do": "read"})
        assert value_of(response, "line-0-quantity") == "24"
        assert value_of(response, "line-0-colours") == "3"
        assert value_of(response, "hand_over") == "Sat 5 Dec, 12:00"
        assert value_of(response, "allergies") == "nuts"
        assert "Ada\nBo</textarea>" in body(response)
        assert re.search(r"(Yes|No|Not sure)", words_of(response))

    def test_what_she_typed_herself_is_not_overwritten(self, page):
        typed = {"their_words": WORDS, "do": "read", "line-0-quantity": "30", "hand_over": "Fri 4 Dec, 10:00"}
        response = page.post(NEW, typed)
        assert value_of(response, "line-0-quantity") == "30"
        assert value_of(response, "hand_over") == "Fri 4 Dec, 10:00"

    def test_words_changed_later_change_what_words_had_filled(self, page):
        first = page.post(NEW, {"their_words": "24 cookies", "do": "read"})
        again = {"their_words": "36 cookies", "words_read": value_of(first, "words_read"), "do": "read",
                 "line-0-quantity": value_of(first, "line-0-quantity")}  # fmt: skip
        assert value_of(page.post(NEW, again), "line-0-quantity") == "36"

    def test_a_hasty_message_says_what_is_read_and_what_to_ask(self, page):
        words = "hiya could u do 2 doz dinos for Leos 5th, sat 12th, names on some pls"
        response = page.post(NEW, {"their_words": words, "do": "read"})
        text = words_of(response)
        assert "Read: 24 cookies, Saturday 12 December, Leos 5th, “dinos”." in text
        assert "“names on some”: ask how many names, and which." in text
        assert "Reckoned as stencil with detail." in text
        assert value_of(response, "title") == "Leos 5th"

    def test_the_event_begins_with_a_capital_and_a_named_kind_is_no_guess(self, page):
        response = page.post(NEW, {"their_words": "20 plain for the regatta, friday noon", "do": "read"})
        assert value_of(response, "title") == "Regatta"
        assert "Reckoned as" not in words_of(response)

    def test_words_without_any_sense_say_so(self, page):
        assert "Nothing in it could be read" in words_of(page.post(NEW, {"their_words": "hm", "do": "read"}))


class TestSmallButtons:
    def test_a_tile_gives_its_kind_to_the_line_and_a_second_one_adds_a_line(self, page):
        one = page.post(NEW, {"line-0-quantity": "24", "do": "kind:stencil"})
        assert '<option value="stencil" selected>' in body(one)
        two = page.post(NEW, {"line-0-quantity": "24", "line-0-kind": "stencil", "do": "kind:lettered"})
        assert 'name="line-1-quantity"' in body(two)
        assert body(two).count('aria-pressed="true"') == 2

    def test_a_tile_pressed_again_goes_and_hands_its_number_on(self, page):
        lines = {
            "line-0-quantity": "24",
            "line-0-kind": "stencil",
            "line-1-kind": "lettered",
            "do": "kind:stencil",
        }
        response = page.post(NEW, lines)
        assert value_of(response, "line-0-quantity") == "24"
        assert '<option value="lettered" selected>' in body(response)
        assert 'name="line-1-quantity"' not in body(response)

    def test_add_and_take_out_lines(self, page):
        more = page.post(NEW, {"line-0-quantity": "24", "do": "add"})
        assert 'name="line-1-quantity"' in body(more)
        less = page.post(NEW, {"line-0-quantity": "24", "line-1-quantity": "6", "do": "drop:0"})
        assert value_of(less, "line-0-quantity") == "6"

    def test_like_that_one_copies_an_earlier_order(self, page, kitchen):
        found = page.post("/orders/new/like/", {"like": "botanical"})
        assert "like_order:118" in body(found)
        copied = page.post(NEW, {"who": "Somebody", "do": "like_order:118"})
        assert value_of(copied, "who") == "Somebody"
        assert value_of(copied, "line-0-quantity") == "24"
        assert '<option value="stencil_detail" selected>' in body(copied)
        kept = page.post(NEW, {"line-0-quantity": "30", "do": "like_order:118"})
        assert value_of(kept, "line-0-quantity") == "30"

    def test_nothing_typed_is_lost_by_a_small_button(self, page):
        typed = fields(
            note="gold edge", names="Ada\nBo", own_price="190", travel_minutes="20", way="delivered"
        )
        text = body(page.post(NEW, typed | {"do": "add"}))
        for piece in (
            "gold edge",
            "Ada\nBo",
            'value="190"',
            'value="20"',
            'value="delivered" selected',
            "Ostrey Museum",
        ):
            assert piece in text

    @pytest.mark.parametrize(
        "do",
        [
            "drop:99",
            "drop:x",
            "kind:none",
            "use:",
            "use:line=1",
            "use:quantity:7=3",
            "like_order:x",
            "like_design:0",
            "nonsense",
            "use:token=1",
            "drop:" + "9" * 50,
        ],
    )
    def test_a_button_that_is_none_does_nothing(self, page, do):
        response = page.post(NEW, fields(do=do))
        assert response.status_code == 200
        assert value_of(response, "line-0-quantity") == "24"
        assert not Order.objects.filter(number__gt=119).exists()


class TestTheAnswer:
    def test_yes_with_time_to_spare_a_price_and_a_reply(self, page):
        text = words_of(page.post("/orders/new/answer/", fields()))
        assert "Yes, Saturday 12:00" in text
        assert re.search(r"keeps its hand-over, with .+ to spare", text)
        assert re.search(r"Rough price £\d+", text)
        assert re.search(r"Yes, we can: 24 for Saturday 5 December, ready at 12:00. About £\d+", text)

    def test_no_with_its_arithmetic_and_what_would_make_it_fit(self, page):
        asked = fields(hand_over="Wed 25 Nov, 10:00", event_at="Sat 5 Dec, 18:00")
        text = words_of(page.post("/orders/new/answer/", asked))
        assert "No, not by Wednesday 10:00" in text
        assert re.search(r"\d+ (min|h)", text)
        assert "Any one of these makes it fit" in words_of(page.post(NEW, asked | {"do": "ways"}))
        found = "".join(
            body(page.post("/orders/new/answer/", asked | {"do": f"ways:{n}"})) for n in range(LAST + 1)
        )
        change = re.search(r'value="(use:hand_over=[^"]+)"', found)[1]
        taken = page.post(NEW, asked | {"do": change})
        assert "Yes," in words_of(taken)

    def test_her_own_price_shows_the_hour_it_pays(self, page):
        text = words_of(page.post("/orders/new/answer/", fields(own_price="20")))
        assert re.search(r"Pays you -?£[\d.]+ an hour ?, £[\d.]+ under your wage", text)

    def test_the_price_is_the_sum_of_its_parts(self, page):
        text = words_of(page.post("/orders/new/answer/", fields()))
        table = text[text.index("What the rough price is made of") :]
        head, total = re.match(r"(.*?)Together ([\d,.]+)", table).groups()
        parts = [float(x) for x in re.findall(r"(-?\d+\.\d\d)(?= |$)", head.replace("£", "£ "))]
        assert round(sum(parts) - (16 if 16.0 in parts else 0), 2) == float(total)

    def test_names_are_counted_while_she_types(self, page):
        text = words_of(
            page.post("/orders/new/answer/", fields(line__0__kind="lettered", names="Ines, Bryn, Ines"))
        )
        assert "3 names for 24 cookies: 21 names to come. “Ines” is there twice. Two people?" in text

    def test_without_a_day_there_is_a_price_and_a_question(self, page):
        text = words_of(page.post("/orders/new/answer/", fields(hand_over="")))
        assert "Which day?" in text
        assert re.search(r"would be about £\d+\. Which day would you need them", text)

    def test_if_all_open_quotes_say_yes(self, page, kitchen):
        page.post(NEW, fields(do="quote"))
        text = words_of(page.post("/orders/new/answer/", fields(hand_over="Sat 12 Dec, 12:00", do="all")))
        assert text == "Yes: with 1 open quote too, every hand-over is kept."

    def test_nothing_is_saved_by_asking(self, page):
        for do in ("", "ways", "all", "longer"):
            page.post("/orders/new/answer/", fields(do=do))
        assert not Order.objects.exclude(number__in=(118, 119)).exists()


class TestKeeping:
    def test_keep_as_enquiry(self, page):
        response = page.post(NEW, fields(do="keep", allergy_state="not_asked"))
        order = Order.objects.get(title="Late opening")
        assert response.url == reverse("order", args=[order.number])
        assert order.state == State.ENQUIRY

    def test_make_a_quote(self, page):
        page.post(NEW, fields(do="quote"))
        order = Order.objects.get(title="Late opening")
        assert order.state == State.QUOTED
        assert order.quotes.get().total > 0

    def test_book_records_the_deposit(self, page):
        page.post(NEW, fields(do="book"))
        order = Order.objects.get(title="Late opening")
        assert (order.state, order.deposit_paid) == (State.BOOKED, True)
        assert order.payments.get().what == Payment.What.DEPOSIT
        assert order.payments.get().amount == order.quotes.get().deposit

    def test_decline_politely_leaves_a_text_to_copy(self, page):
        response = page.post(NEW, fields(do="decline", allergy_state="not_asked"), follow=True)
        assert Order.objects.get(title="Late opening").state == State.DECLINED
        assert "we would rather say so now than let you down" in words_of(response)

    @pytest.mark.parametrize(("do", "doing"), [("quote", "making a quote"), ("book", "booking")])
    def test_an_unasked_allergy_stops_a_promise_and_nothing_else(self, page, do, doing):
        response = page.post(NEW, fields(do=do, allergy_state="not_asked"))
        assert response.status_code == 422
        assert f"Ask about allergies before {doing}" in words_of(response)
        assert not Order.objects.filter(title="Late opening").exists()
        assert value_of(response, "who") == "Ostrey Museum"

    def test_half_made_cookies_come_in_as_they_are(self, page):
        page.post(NEW, fields(do="keep", line__0__stage="flooded"))
        line = OrderLine.objects.get(order__title="Late opening")
        assert (line.stage, line.stage_at) == ("flooded", NOW)


class TestOnce:
    def test_a_double_click_is_one_order(self, page):
        form = fields(do="quote")
        one, two = page.post(NEW, form), page.post(NEW, form)
        assert one.url == two.url
        assert Order.objects.filter(title="Late opening").count() == 1
        assert Order.objects.get(title="Late opening").quotes.count() == 1

    @pytest.mark.parametrize("do", ["keep", "quote", "book", "decline"])
    def test_a_reload_changes_nothing(self, page, do):
        form = fields(do=do)
        for _ in range(3):
            page.post(NEW, form)
        order = Order.objects.get(title="Late opening")
        assert order.changes.count() <= 3
        assert order.payments.count() <= 1

    def test_back_then_changed_then_pressed_again_keeps_the_change_waiting(self, page):
        form = fields(do="keep")
        page.post(NEW, form)
        response = page.post(NEW, form | {"line-0-quantity": "30"})
        order = Order.objects.get(title="Late opening")
        assert f"already taken as order {order.number}" in words_of(response)
        assert value_of(response, "line-0-quantity") == "30"
        line = order.lines.get()
        assert line.quantity == 24
        assert "What 30 Plain flood" in words_of(response)
        saved = re.search(r'<form id="order-form"[^>]*action="([^"]+)"', body(response))[1]
        page.post(saved, form | {"line-0-quantity": "30", "line-0-line": value_of(response, "line-0-line"),
                                 "revision": value_of(response, "revision"), "do": "save"})  # fmt: skip
        line.refresh_from_db()
        assert (line.quantity, order.lines.count()) == (30, 1)

    def test_a_booked_order_pressed_again_goes_straight_to_its_page(self, page):
        form = fields(do="book")
        for _ in range(2):
            response = page.post(NEW, form)
        assert response.status_code == 302

    def test_a_cancelled_order_is_not_woken_by_an_old_form(self, page):
        form = fields(do="book")
        page.post(NEW, form)
        order = Order.objects.get(title="Late opening")
        cancel(order=order)
        page.post(NEW, form)
        order.refresh_from_db()
        assert order.state == State.CANCELLED

    def test_the_same_from_a_second_tab_is_asked_about(self, page):
        page.post(NEW, fields(do="keep"))
        response = page.post(NEW, fields(do="keep"))
        assert "The same was taken a moment ago as order" in words_of(response)
        assert Order.objects.filter(title="Late opening").count() == 1
        page.post(NEW, fields(do="keep", anyway="yes"))
        assert Order.objects.filter(title="Late opening").count() == 2

    def test_a_lost_token_is_still_one_order(self, page):
        form = fields(do="keep", token="")
        page.post(NEW, form)
        page.post(NEW, form)
        assert Order.objects.filter(title="Late opening").count() == 1


class TestAgain:
    def test_make_it_again_opens_the_form_filled_but_for_the_day(self, page, kitchen):
        response = page.get(NEW + "?again=118")
        assert value_of(response, "line-0-quantity") == "24"
        assert value_of(response, "hand_over") == ""
        assert value_of(response, "title") == "Botanical supper"
        typed = fields(
            do="keep",
            again=value_of(response, "again"),
            title="Botanical supper again",
            hand_over="Sat 12 Dec, 12:00",
        )
        page.post(NEW, typed)
        assert Order.objects.get(title="Botanical supper again").made_again_from == kitchen["ferns"]

    @pytest.mark.parametrize("query", ["?again=99999", "?again=x", "?design=none", "?again=" + "9" * 30])
    def test_what_is_not_there_opens_an_empty_form(self, page, query):
        assert page.get(NEW + query).status_code == 200


def test_the_answer_takes_a_bounded_number_of_queries(page, kitchen, django_assert_max_num_queries):
    for day in range(6):
        page.post(
            NEW,
            fields(do="book", title=f"Order {day}", hand_over=str((NOW + timedelta(days=12 + day)).date())),
        )
    page.post("/orders/new/answer/", fields())
    with django_assert_max_num_queries(55):
        page.post("/orders/new/answer/", fields(title="Another"))
