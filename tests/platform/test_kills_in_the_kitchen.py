"""kill -9 of web and worker while orders come in: none lost or doubled, the plan holds them all."""

import json
import random
import re
from collections import Counter
from datetime import datetime, timedelta
from uuid import UUID

import pytest

from tests.platform.harness import Studio
from tests.platform.kills import kill_at_random, wait_until_quiet


def usual_answers(page: str) -> list[tuple[str, str]]:
    """What the start page's form holds when nothing is changed: ticked boxes and picked chips."""
    ticked = []
    for tag in re.findall(r"<input[^>]*>", page):
        name, value = re.search(r'name="([^"]+)"', tag), re.search(r'value="([^"]*)"', tag)
        if name and value and " checked" in tag:
            ticked.append((name[1], value[1]))
    return ticked


def start_mine(client) -> None:
    _, page = client.get("/start/", patience=20)
    answers: dict[str, list[str]] = {}
    for name, value in usual_answers(page):
        answers.setdefault(name, []).append(value)
    client.post("/start/", answers, patience=20)


class Orders:
    """A baker who takes orders and, when the page is gone, presses the same button again."""

    def __init__(self, client, seed: int):
        self.client = client
        self.chance = random.Random(f"orders {seed}")
        self.titles: list[str] = []

    def take_one(self) -> None:
        title = f"Regatta {len(self.titles)}"
        day = datetime.now() + timedelta(days=self.chance.randint(12, 150))
        form = {
            "token": str(UUID(int=self.chance.getrandbits(128), version=4)),
            "who": "Rowing club",
            "title": title,
            "line-0-quantity": str(self.chance.choice([12, 18, 24])),
            "line-0-kind": self.chance.choice(["plain", "stencil"]),
            "hand_over": f"{day:%d.%m.%Y} 17:00",
            "allergy_state": "none",
            "do": "book",
        }
        self.titles.append(title)
        for _ in range(self.chance.choice([1, 1, 2])):  # now and then a double click
            code, page = self.client.post("/orders/new/", form, patience=60)
            assert code == 200, page[:2000]


def take_orders_under_fire(studio: Studio, *, kills: int, seed: int) -> Orders:
    client = studio.client()
    start_mine(client)
    orders = Orders(client, seed)
    kill_at_random(studio, orders.take_one, kills=kills, seed=seed)
    wait_until_quiet(studio, 180)
    return orders


def assert_nothing_lost_or_doubled(studio: Studio, orders: Orders) -> None:
    stored = Counter(title for (title,) in studio.rows("SELECT title FROM orders_order"))
    assert stored == Counter(orders.titles)
    assert studio.rows("SELECT DISTINCT state FROM orders_order") == [("booked",)]
    states = dict(studio.rows("SELECT state, count(*) FROM background_computation GROUP BY state"))
    assert set(states) == {"done"}, states
    printed = studio.manage("plan", "--json")
    assert printed.returncode == 0, printed.stdout + printed.stderr
    answer = json.loads(printed.stdout)
    planned = {order["id"] for order in answer["problem"]["orders"]}
    assert planned == {f"o{number}" for (number,) in studio.rows("SELECT number FROM orders_order")}

    from bakery.craft.planning import plan_from_json, problem_from_json, verify

    problem, plan = problem_from_json(answer["problem"]), plan_from_json(answer["plan"])
    assert verify(problem, plan) == []
    assert set(plan.starts) >= {task.id for task in problem.tasks if task.state == "todo"}


@pytest.mark.slow
def test_a_few_kills_while_orders_come_in_lose_and_double_nothing():
    with Studio() as studio:
        studio.open()
        assert_nothing_lost_or_doubled(studio, take_orders_under_fire(studio, kills=3, seed=3))


@pytest.mark.slow
def test_fifty_kills_while_orders_come_in_lose_and_double_nothing():
    with Studio() as studio:
        studio.open()
        assert_nothing_lost_or_doubled(studio, take_orders_under_fire(studio, kills=50, seed=50))
