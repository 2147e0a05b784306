"""Orders and one order: what waits, what is next, and that pressing a button does what it says, once."""

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from bakery.orders.models import Order, Payment, State
from bakery.orders.queries import order_by_number
from bakery.orders.services import set_state
from bakery.production.models import Job
from bakery.production.queries.order_page import order_page
from bakery.production.services import make_plan
from bakery.studio.example import fill_example
from tests.factories import OrderFactory

from .conftest import NOW, at
from .test_intake import NEW, body, fields, value_of, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def page(planned, signed_in):
    """The client of a kitchen whose plan hangs on the wall."""
    return signed_in


@pytest.fixture
def enquiry(page):
    page.post(NEW, fields(do="keep", allergy_state="not_asked"))
    return Order.objects.get(title="Late opening")


def press(page, order, name, **more):
    return page.post(reverse(name, args=[order.number]), more, follow=True)


def state_of(order) -> str:
    return Order.objects.get(pk=order.pk).state


class TestTheList:
    def test_it_says_how_many_wait_and_what_comes_first(self, page, enquiry):
        text = words_of(page.get("/orders/"))
        assert "One order waits for you." in text
        assert "Two are booked, the next hand-over is Friday 15:00." in text
        assert "Late opening, 24 Enquiry Asked today. Allergies not asked yet. Answer" in text

    def test_a_booked_order_names_its_next_job(self, page):
        assert re.search(
            r"Botanical supper, 24 .*? Next: .+?, tonight \d\d:\d\d\.", words_of(page.get("/orders/"))
        )

    def test_a_balance_that_is_due_waits_for_her(self, page):
        page.post(NEW, fields(do="book", hand_over="Thu 3 Dec, 12:00"))
        text = words_of(page.get("/orders/"))
        assert re.search(r"Late opening, 24 Booked Balance £[\d.]+ is due on Thu 26 Nov\. Ask for it", text)

    def test_a_balance_whose_day_had_passed_when_it_was_quoted_is_due_at_the_hand_over(self, page, clock):
        page.post(NEW, fields(do="book", hand_over="Sat 28 Nov, 12:00"))
        assert "Balance" not in words_of(page.get("/orders/"))
        clock.move_to(NOW + timedelta(days=2))
        text = words_of(page.get("/orders/"))
        assert re.search(r"24 Booked Balance £[\d.]+ is due at the hand-over\. Ask for it", text)
        order = Order.objects.get(title="Late opening")
        assert re.search(r"The balance of £[\d.]+ is due at the hand-over\.",
                         words_of(page.get(f"/orders/{order.number}/")))  # fmt: skip

    def test_room_for_more_counts_what_is_planned(self, page):
        found = re.findall(r"(\d+) h(?: (\d\d))? left", words_of(page.get("/orders/")))
        assert len(found) == 4
        # Four evenings of four hours and a Saturday of six, less 15 min each for washing up: 20 h 45.
        assert found[3] == ("20", "45")
        assert int(found[0][0]) < 20

    def test_search_finds_by_name_event_and_number(self, page, enquiry):
        for words in ("ostrey", "late open", str(enquiry.number), "OSTREY opening"):
            assert "Late opening, 24" in words_of(page.get("/orders/", {"q": words}))
        assert "No order has those words." in words_of(page.get("/orders/", {"q": "zebra\x00"}))

    def test_closed_orders_have_a_page_of_their_own(self, page, enquiry):
        set_state(order=enquiry, state=State.DECLINED)
        assert "Lapsed and declined, 1" in words_of(page.get("/orders/"))
        assert "Late opening, 24 Declined" in words_of(page.get("/orders/closed/?which=nothing"))
        assert page.get("/orders/closed/?page=99999999999999999999&which=x").status_code == 200

    def test_an_empty_house_says_so_and_offers_the_one_button(self, signed_in, db):
        text = words_of(signed_in.get("/orders/"))
        assert "No order waits for you." in text
        assert "No open orders. New order" in text

    def test_the_list_takes_the_same_queries_however_long_it_is(self, page, django_assert_max_num_queries):
        page.get("/orders/")
        for n in range(12):
            OrderFactory(number=200 + n, title=f"Tea {n}", hand_over_at=at(12, days=20), state=State.BOOKED)
        with django_assert_max_num_queries(45):
            page.get("/orders/")


class TestOneOrder:
    def test_it_shows_its_work_with_the_drying_between(self, page, planned):
        text = words_of(page.get("/orders/118/"))
        assert text.index("flood: 24 cookies") < text.index("Base dries") < text.index("Dries through")
        assert text.index("Dries through") < text.index("Bag and box 24 cookies") < text.index("Hand-over")
        assert re.search(r"usually (\w+ )?\d\d:\d\d, on a slow night \d\d:\d\d", text)

    def test_neighbours_are_one_row_and_rows_stand_in_the_order_of_time(self, clock, db):
        fill_example(NOW)
        make_plan(now=NOW)
        order = order_by_number(117)
        assert order.title == "Botanical Society supper"
        steps = order_page(order, NOW).steps
        titles = [step.title for step in steps]
        assert 6 <= len(steps) <= 12, titles
        assert len(titles) == len(set(titles)), titles
        floods = next(title for title in titles if title.startswith("Flood"))
        assert all(colour in floods for colour in ("bone", "sage", "slate", ": 42 cookies"))
        assert titles.index(floods) < titles.index("Base dries") < titles.index("Dries through")
        assert titles[-1] == "Hand-over"
        assert all(step.when for step in steps)

    def test_transfers_made_are_not_counted_with_those_stuck_on(self, clock, db):
        fill_example(NOW)
        make_plan(now=NOW)
        order = order_by_number(120)
        made = next(step for step in order_page(order, NOW).steps if step.title.startswith("Make"))
        rows = Job.objects.filter(order=order, title__startswith="Pipe transfers")
        wanted = sum(job.cookies for job in rows)
        assert wanted
        assert made.title == f"Make {wanted} transfers"

    def test_without_a_plan_each_wait_stands_before_what_it_holds_up(self, page):
        page.post(NEW, fields(do="keep", **{"line-0-kind": "lettered"}))
        order = order_by_number(Order.objects.get(title="Late opening").number)
        titles = [step.title for step in order_page(order, NOW).steps]
        assert titles.count("Dries through") == 1
        assert titles[titles.index("Dries through") + 1].startswith("Bag and box")

    def test_a_declined_order_has_no_money_to_come_and_a_ready_one_no_next_job(self, page, planned):
        declined = OrderFactory(number=130, title="Not this time", state=State.DECLINED)
        assert "to come" not in words_of(page.get(f"/orders/{declined.number}/"))
        set_state(order=planned["ferns"], state=State.READY)
        assert "Ready." in words_of(page.get("/orders/118/"))
        assert "Next:" not in words_of(page.get("/orders/118/"))

    def test_an_enquiry_shows_the_answer_and_the_reply(self, page, enquiry):
        text = words_of(page.get(f"/orders/{enquiry.number}/"))
        assert "Yes, Saturday" not in text, "the plan is asked apart, so that the page stands at once"
        assert "Does it fit?" in text
        for address in ("promise/", "?ask=1"):
            assert "Yes, Saturday 12:00" in words_of(page.get(f"/orders/{enquiry.number}/{address}"))
        assert "Has anyone an allergy we should know of?" in text
        assert "Nobody has asked about allergies yet." in text

    def test_names_stand_on_their_cookies(self, page):
        page.post(NEW, fields(do="keep", names="Ada\nBo", **{"line-0-kind": "lettered"}))
        text = words_of(page.get(f"/orders/{Order.objects.get(title='Late opening').number}/"))
        assert "Names, 2 of 24" in text

    def test_what_is_not_there_is_a_plain_page(self, page):
        assert page.get("/orders/99999/").status_code == 404
        assert page.post("/orders/99999/state/", {"state": "booked"}).status_code == 404

    def test_one_order_takes_a_bounded_number_of_queries(self, page, planned, django_assert_max_num_queries):
        page.get("/orders/118/")
        with django_assert_max_num_queries(35):
            page.get("/orders/118/")

    def test_one_that_waits_for_a_yes_asks_no_plan_of_its_own_page(
        self, page, enquiry, django_assert_max_num_queries
    ):
        page.get(f"/orders/{enquiry.number}/")
        with django_assert_max_num_queries(37):
            page.get(f"/orders/{enquiry.number}/")
        set_state(order=enquiry, state=State.DECLINED)
        assert words_of(page.get(f"/orders/{enquiry.number}/promise/")) == ""
        assert page.get("/orders/99999/promise/").status_code == 404


class TestPresses:
    def test_the_road_of_an_order(self, page, enquiry):
        press(page, enquiry, "order_allergies", **{"ask-allergy_state": "none"})
        press(page, enquiry, "order_quote")
        assert state_of(enquiry) == State.QUOTED
        for wanted in ("booked", "ready", "handed_over"):
            press(page, enquiry, "order_state", state=wanted)
            press(page, enquiry, "order_state", state=wanted)
            assert state_of(enquiry) == wanted
        assert enquiry.changes.count() == 5
        assert enquiry.payments.count() == 1

    @pytest.mark.parametrize(("name", "more"), [("order_quote", {}), ("order_state", {"state": "booked"}),
                                                ("order_hold", {})])  # fmt: skip
    def test_an_unasked_allergy_is_asked_about_first(self, page, enquiry, name, more):
        assert "Ask about allergies before" in words_of(press(page, enquiry, name, **more))
        assert state_of(enquiry) == State.ENQUIRY
        assert not enquiry.quotes.exists()

    def test_told_without_words_gets_a_sentence(self, page, enquiry):
        response = press(page, enquiry, "order_allergies", **{"ask-allergy_state": "told"})
        assert response.status_code == 422
        assert "What did they tell you?" in words_of(response)

    def test_a_step_no_order_takes_is_told(self, page, enquiry):
        assert "cannot become" in words_of(press(page, enquiry, "order_state", state="ready"))
        press(page, enquiry, "order_state", state="nonsense\x00")
        assert state_of(enquiry) == State.ENQUIRY

    def test_cancel_and_take_that_back(self, page, planned):
        order = planned["ferns"]
        press(page, order, "order_state", state="cancelled", note="ill")
        assert order.changes.get(state="cancelled").note == "ill"
        press(page, order, "order_undo")
        assert state_of(order) == State.BOOKED

    def test_not_booked_after_all(self, page, enquiry, run_queued):
        press(page, enquiry, "order_allergies", **{"ask-allergy_state": "none"})
        assert "Not booked after all" in words_of(press(page, enquiry, "order_state", state="booked"))
        make_plan(now=NOW)
        assert Job.objects.filter(order=enquiry).exists()
        said = words_of(press(page, enquiry, "order_undo"))
        assert "Taken back" in said
        assert "Not booked after all" not in said
        assert (state_of(enquiry), Payment.objects.filter(order=enquiry).count()) == (State.QUOTED, 0)
        make_plan(now=NOW)
        assert not Job.objects.filter(order=enquiry, planned_start__gt=NOW).exists()
        press(page, enquiry, "order_undo")
        assert state_of(enquiry) == State.QUOTED

    def test_move_the_hand_over(self, page, planned):
        order = planned["rounds"]
        revision = {"move-revision": str(order.revision)}
        press(page, order, "order_move", **revision, **{"move-hand_over": "Sat 12 Dec, 10:00"})
        assert Order.objects.get(pk=order.pk).hand_over_at == at(10, days=18)
        late = press(page, order, "order_move", **revision, **{"move-hand_over": "Sun 13 Dec, 10:00"})
        assert late.status_code == 409
        assert value_of(late, "move-hand_over") == "Sun 13 Dec, 10:00"
        wrong = press(page, order, "order_move", **revision, **{"move-hand_over": "20 Nov"})
        assert "has passed" in words_of(wrong)

    def test_money_that_came_in_is_recorded_once(self, page, planned):
        order = planned["ferns"]
        for _ in range(2):
            press(page, order, "order_pay", **{"pay-what": "balance", "pay-amount": "£40"})
        assert [p.amount for p in Payment.objects.all()] == [Decimal("40.00")]
        assert Payment.objects.get().on == NOW.date()

    @pytest.mark.parametrize(
        ("amount", "on"), [("", ""), ("much", ""), ("0", ""), ("40", "next year"), ("40", "Fri")]
    )
    def test_money_that_is_none_gets_a_sentence(self, page, planned, amount, on):
        response = press(page, planned["ferns"], "order_pay", **{"pay-amount": amount, "pay-on": on})
        assert response.status_code == 422
        assert "field__error" in body(response)
        assert not Payment.objects.exists()

    def test_where_it_is_now_is_corrected(self, page, planned):
        line = planned["rounds"].lines.get()
        press(page, planned["rounds"], "order_stage", **{f"stage-{line.pk}": "flooded"})
        press(page, planned["rounds"], "order_stage", **{f"stage-{line.pk}": "eaten"})
        line.refresh_from_db()
        assert (line.stage, line.stage_at) == ("flooded", NOW)

    def test_nothing_happens_by_looking(self, page, planned):
        for name in (
            "order_state",
            "order_undo",
            "order_quote",
            "order_hold",
            "order_stage",
            "order_move",
            "order_pay",
        ):
            assert page.get(reverse(name, args=[118])).status_code == 405


class TestChanging:
    def change(self, page, number, **more):
        """The change form as the browser would send it back, with some fields changed."""
        address = f"/orders/{number}/change/"
        form = page.get(address)
        names = "token revision who title hand_over event_at line-0-line line-0-quantity line-0-designs"
        sent = {name: value_of(form, name) for name in [*names.split(), "line-0-colours"]}
        sent |= {
            "line-0-kind": "plain",
            "allergy_state": "none",
            "hand_over_shown": sent["hand_over"],
            "do": "save",
        }
        return address, {**sent, **more}

    def test_layers_and_colours_can_come_later_without_typing_anything_again(self, page, planned):
        from tests.factories import DesignFactory

        design = DesignFactory(name="Harbour light")
        line = planned["rounds"].lines.get()
        address, sent = self.change(page, 119, **{"line-0-design": str(design.pk)})
        assert page.post(address, sent).status_code == 302
        line.refresh_from_db()
        assert (line.design, line.quantity, line.position) == (design, 24, 1)

    def test_two_tabs_see_both_versions_and_lose_nothing(self, page, planned):
        address, first = self.change(page, 119, note="from the first tab")
        _, second = self.change(page, 119, note="from the second tab", title="Rowing supper")
        assert page.post(address, first).status_code == 302
        response = page.post(address, second)
        assert response.status_code == 409
        text = words_of(response)
        assert "Changed in another tab meanwhile" in text
        assert "Event Rowing supper Rowing tea" in text
        assert "Wishes from the second tab from the first tab" in text
        assert value_of(response, "title") == "Rowing supper"
        assert Order.objects.get(number=119).note == "from the first tab"
        page.post(address, second | {"revision": value_of(response, "revision")})
        assert Order.objects.get(number=119).note == "from the second tab"

    def test_the_same_change_pressed_twice_is_one(self, page, planned):
        address, sent = self.change(page, 119, note="once")
        for _ in range(2):
            assert page.post(address, sent).status_code == 302
        assert Order.objects.get(number=119).revision == 2

    def test_bad_input_keeps_what_was_typed(self, page, planned):
        address, sent = self.change(page, 119, **{"line-0-quantity": "100000", "note": "gold edge"})
        response = page.post(address, sent)
        assert response.status_code == 422
        assert "gold edge" in body(response)
        assert Order.objects.get(number=119).revision == 1

    def test_a_past_order_can_still_be_written_to(self, page, planned, clock):
        clock.move_to(NOW + timedelta(days=40))
        address, sent = self.change(page, 119, note="they loved them")
        assert page.post(address, sent).status_code == 302
        assert Order.objects.get(number=119).note == "they loved them"

    def test_an_order_is_not_moved_into_the_past(self, page, planned):
        address, sent = self.change(page, 119, hand_over="20 Nov 10:00")
        response = page.post(address, sent)
        assert response.status_code == 422
        assert "Friday 20 November, 10:00 has passed" in words_of(response)

    def test_the_answer_to_a_change_leaves_its_own_old_work_out(self, page, planned):
        address, sent = self.change(page, 119, **{"line-0-quantity": "30"})
        text = words_of(page.post(f"{address}answer/", sent))
        assert "Yes, Saturday 12:00" in text
