"""Two at the same packet: no move lost, none doubled, on SQLite and on a real PostgreSQL."""

import os
import subprocess
import sys
from decimal import Decimal

import pytest

from tests.platform.deployed import Servers, missing
from tests.platform.harness import ROOT
from tests.stock.at_once import CALLS

WORKERS = 3
SET_UP = """
from datetime import date
from decimal import Decimal
from bakery.stock import ledger
from bakery.stock.models import StockItem
for name, amount in (("Last", 40), ("Shared", 1000), ("Other", 50)):
    item = StockItem.objects.create(name=name, group="dry")
    line = ledger.ReceiveLine(item, Decimal(amount), Decimal("9.99"))
    ledger.receive(supplier="", on=date(2026, 11, 2), lines=[line], token=name)
"""
LOOK = """
import json
from bakery.stock.models import Move, Packet
print(json.dumps([[str(p.item), p.origin, str(p.quantity), str(p.left), str(p.cost), str(p.cost_left),
    [[m.kind, str(m.quantity), str(m.cost), m.token] for m in p.moves.order_by("pk")]]
    for p in Packet.objects.order_by("pk")]))
"""


def python(*words, home, environment, **options):
    settings = {"DJANGO_SETTINGS_MODULE": "bakery.settings", "DRYBY_HOME": str(home), "DRYBY_NO_VENV": "1"}
    known = {k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "BROKER_URL", "SECRET_KEY")}
    command = [sys.executable, *words]
    return {"args": command, "cwd": ROOT, "env": known | settings | environment, "text": True, **options}


def race(home, environment):
    """Everybody at once; what the books say afterwards."""
    import json

    def manage(*words):
        done = subprocess.run(**python("manage.py", *words, home=home, environment=environment),
                              capture_output=True, timeout=120, check=False)  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout

    manage("migrate", "-v0")
    manage("shell", "-v0", "-c", SET_UP)
    workers = [
        subprocess.Popen(**python("-m", "tests.stock.at_once", str(n), str(WORKERS), home=home,
                                  environment=environment), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        for n in range(WORKERS)
    ]  # fmt: skip
    try:
        for worker in workers:
            assert worker.stdout.readline() == "ready\n"
        (home / "go").touch()
        for worker in workers:
            said, wrong = worker.communicate(timeout=120)
            assert said == f"{CALLS}\n", wrong
    finally:
        for worker in workers:
            worker.kill()
            worker.wait()
    return json.loads(manage("shell", "-v0", "-c", LOOK))


def check(packets):
    used = {}
    for name, _, _, left, cost, cost_left, moves in packets:
        assert Decimal(left) == sum(Decimal(move[1]) for move in moves)
        assert Decimal(cost_left) == sum(Decimal(move[2]) for move in moves)
        assert 0 <= Decimal(cost_left) <= Decimal(cost)
        for kind, quantity, _, token in moves:
            if kind == "use":
                used.setdefault(name, []).append((token, -Decimal(quantity)))
    many = WORKERS * CALLS
    for name, wanted in (("Last", many), ("Shared", 2 * CALLS + many), ("Other", many)):
        assert sum(quantity for _, quantity in used[name]) == wanted, "no move lost, none doubled"
    tokens = [token for token, _ in used["Shared"]]
    assert len(tokens) == len(set(tokens)) == CALLS + many
    found = [packet for packet in packets if packet[1] == "found"]
    assert sorted((packet[0], Decimal(packet[2])) for packet in found) == [
        ("Last", many - 40),
        ("Other", many - 50),
    ]
    assert all(Decimal(packet[3]) == 0 for packet in packets if packet[0] in ("Last", "Other"))


def test_at_once_on_sqlite(tmp_path):
    check(race(tmp_path, {}))


@pytest.mark.slow
@pytest.mark.skipif(bool(missing()), reason="PostgreSQL and Redis are not on this machine")
def test_at_once_on_postgresql(tmp_path):
    with Servers() as servers:
        check(race(tmp_path, servers.environment))
