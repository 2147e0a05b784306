"""Cost layers and reorder points against published worked examples; each names its source in data/inventory/.

The entry `openstax-spy` says of itself that its numbers were written down from memory: it is a check of
arithmetic, not of the book. `how` beside each value says whether the source prints it or it was computed.
"""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from bakery.craft.stocktaking import In, Out, fifo, reorder_point, weighted_average

DATA = Path(__file__).parent / "data" / "inventory"
LAYERS = json.loads((DATA / "cost_layers.json").read_text())
REORDER = {row["id"]: row for row in json.loads((DATA / "reorder.json").read_text())}


def events_of(example):
    return [
        In(event["units"], Decimal(event["unit_cost"])) if event["type"] == "receipt" else Out(event["units"])
        for event in example["events"]
    ]


def rule(name):
    if name.startswith("fifo"):
        return fifo
    return lambda events: weighted_average(events, periodic=name.endswith("periodic"))


CASES = [
    pytest.param(example, name, values, id=f"{example['id']} {name}")
    for example in LAYERS
    for name, values in example["expected"].items()
    if isinstance(values, dict)
]


def near(found: Fraction, said: str):
    """Equal to as many places as the source prints."""
    said = Decimal(said)
    step = Fraction(Decimal(1).scaleb(said.as_tuple().exponent))
    assert abs(found - Fraction(said)) <= step / 2, (float(found), said)


@pytest.mark.parametrize(("example", "name", "values"), CASES)
def test_worked_examples(example, name, values):
    costs = rule(name)(events_of(example))
    found = {
        "ending": costs.ending,
        "ending_exact": costs.ending,
        "ending_rounded": costs.ending,
        "cogs": costs.used,
        "cogs_exact": costs.used,
        "unit": costs.unit,
        "unit_exact": costs.unit,
        "unit_rounded": costs.unit,
        "final_unit": costs.unit,
    }
    compared = 0
    for key, said in values.items():
        if key == "issue_costs":
            assert [Decimal(one) for one in said] == list(costs.issues)
            compared += 1
        elif key == "unit_after_second_receipt":
            receipts = [n for n, event in enumerate(example["events"]) if event["type"] == "receipt"]
            near(rule(name)(events_of(example)[: receipts[1] + 1]).unit, said)
        elif key != "how":
            if key == "ending_rounded":  # the source multiplies its rounded unit cost
                near(round(costs.unit, 2) * costs.units_left, said)
            else:
                near(found[key], said)
            compared += 1
    assert compared
    came = sum(
        event.units * Fraction(event.unit_cost) for event in events_of(example) if isinstance(event, In)
    )
    assert costs.used + costs.ending == came
    if "goods_available_cost" in example["expected"]:
        assert came == Fraction(example["expected"]["goods_available_cost"])


def test_reorder_points():
    row = REORDER["rop-500"]
    daily = row["D_per_year"] / row["working_days"]
    found = reorder_point(daily, row["lead_time_days"], deviation=row["sd_lead_time_demand"], z=row["z_used"])
    assert found == pytest.approx(row["reorder_point"])
    base = REORDER["eoq-artisan"]
    daily = base["D_per_year"] / base["working_days"]
    assert daily == base["daily_demand"]
    assert reorder_point(daily, base["lead_time_days"]) == base["reorder_point_without_safety"]
    more = REORDER["safety-stock-2"]
    found = reorder_point(
        daily, base["lead_time_days"], deviation=more["demand_sd_in_lead_time"], z=more["z"]
    )
    assert found == pytest.approx(more["reorder_point"])
