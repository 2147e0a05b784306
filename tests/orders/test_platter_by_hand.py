"""One platter of the example studio costed by hand: the table in DEVELOPERS.md against the price."""

import ast
import re
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from operator import add, mul, sub, truediv
from pathlib import Path

import pytest

from bakery.craft.costing import price_of
from bakery.designs.models import Design
from bakery.orders.adapters import spec_of
from bakery.orders.data import LineData, OrderData
from bakery.orders.pricing import house
from bakery.studio.example.fill import fill_example

pytestmark = pytest.mark.django_db
TUESDAY = datetime(2026, 11, 24, 14, tzinfo=UTC)
PAPER = Path(__file__).parents[2] / "DEVELOPERS.md"
DOES = {ast.Add: add, ast.Sub: sub, ast.Mult: mul, ast.Div: truediv}


def rows():
    """(key, exact amount, pence) of each row of the table."""
    text = PAPER.read_text().split("## A platter, costed by hand")[1].split("\n## ")[0]
    found = re.findall(r"^\| ([^|]+) \| ([-+*/(). \d]+) \| (-?[\d.]+) \|$", text, re.M)
    return [(what.split(":")[0], worked(sum_), Decimal(pence)) for what, sum_, pence in found]


def worked(text: str) -> Fraction:
    """Plain arithmetic, exactly."""

    def of(node):
        if isinstance(node, ast.Constant):
            return Fraction(str(node.value))
        return DOES[type(node.op)](of(node.left), of(node.right))

    return of(ast.parse(text, mode="eval").body)


def every(parts):
    for part in parts:
        yield part
        yield from every(part.parts)


@pytest.fixture
def platter():
    fill_example(TUESDAY)
    lines = []
    for name, kind, base in (("Fern plaque", "stencil_detail", "Bone"), ("Plain round", "plain", "Sea")):
        design = Design.objects.get(name=name)
        variation = design.variations.get(base__name=base)
        lines.append(LineData(kind, 12, design=design.pk, variation=variation.pk, packaging="platter"))
    data = OrderData(hand_over_at=TUESDAY + timedelta(days=20), lines=tuple(lines), who="Quay")
    return price_of(spec_of(data), None, *house())


def test_every_row_of_the_table_is_the_programs_figure(platter):
    table = rows()
    assert len(table) == 28
    shown = {part.key: part.amount for part in every(reversed(platter.parts))}
    for key, exact, pence in table:
        assert shown[key] == pence, key
        assert abs(Fraction(pence) - exact) < Fraction(1, 100), key
    assert platter.total == 85


def test_the_table_leaves_nothing_out(platter):
    """Whatever the program counts is a row, or is made of rows."""
    keys = {key for key, _, _ in rows()}

    def covered(part):
        return part.key in keys or (part.parts and all(covered(p) for p in part.parts)) or not part.amount

    assert [part.key for part in platter.parts if not covered(part)] == []
    whole = {"time", "packaging", "energy", "overhead", "margin", "rounding"}
    leaves = sum(pence for key, _, pence in rows() if key in whole)
    food = sum(p.amount for key in ("food", "colour") for p in platter.part(key).parts)
    assert leaves + food == platter.total


def test_set_up_is_shared_over_the_quantity(platter):
    first = {p.key: p.minutes for kind in platter.part("time").parts for p in kind.parts}
    assert first["spray.set-up"] == 16  # 6 to set up, 10 to strip and clean
    assert first["flood.set-up"] == 4  # two trays of 2 min
    assert platter.set_up == sum(minutes for key, minutes in first.items() if key.endswith(".set-up"))
    assert "shared by 24" in platter.part("time").parts[0].parts[0].title
