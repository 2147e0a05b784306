"""Where the way of shared work leads: to the order that presses most, or to the one that is asked about."""

from datetime import UTC, datetime

from bakery.craft.planning import Lag, Order, Problem, Task, Window
from bakery.production.chains import chain_of, tails_of


def shared_mixing() -> Problem:
    """One mixing for two orders: o1 leaves at 1,000 and waits 100; o2 leaves at 5,000 and waits 900."""

    def task(name, kind, *orders):
        return Task(name, kind, orders, 30, 30)

    tasks = (task("mix", "mix", "o1", "o2"), task("o1.flood", "flood", "o1"), task("o2.flood", "flood", "o2"),
             task("o1.pack", "pack", "o1"), task("o2.pack", "pack", "o2"))  # fmt: skip
    lags = (Lag("mix", "o1.flood", 0), Lag("mix", "o2.flood", 0),
            Lag("o1.flood", "o1.pack", 100, None, "dry"),
            Lag("o2.flood", "o2.pack", 900, None, "dry"))  # fmt: skip
    orders = (Order("o1", 1000, None, "o1.pack", ()), Order("o2", 5000, None, "o2.pack", ()))
    return Problem(datetime(2026, 3, 2, tzinfo=UTC), 5, 0, 6000, (Window(0, 6000),), {}, (), tasks, lags, (),
                   orders, {})  # fmt: skip


STARTS = {"mix": 0, "o1.flood": 30, "o1.pack": 160, "o2.flood": 300, "o2.pack": 1230}


def way(order=None):
    problem = shared_mixing()
    return chain_of(problem, STARTS, "mix", tails_of(problem, order), lambda name: (name, name))


def test_the_way_of_shared_work_leads_to_the_order_that_presses_most():
    # By hand: o1's pack starts by 970, its flood by 840, so mix by 810; for o2 mix would do by 4,010.
    assert way()["path"] == ["mix", "o1.flood", "o1.pack"]
    assert way()["order"] == "o1"


def test_an_order_that_is_asked_about_is_told_its_own_way():
    assert way("o2")["path"] == ["mix", "o2.flood", "o2.pack"]
    assert way("o2")["order"] == "o2"


def test_the_length_is_that_of_the_way():
    assert tails_of(shared_mixing())["mix"] == (30 + 30 + 100 + 30, "o1.flood")
