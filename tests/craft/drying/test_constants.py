"""The table of constants in DEVELOPERS.md says what the code does, and leaves none out."""

import importlib
import re
from dataclasses import MISSING, fields, is_dataclass
from pathlib import Path

import pytest

TEXT = (Path(__file__).parents[3] / "DEVELOPERS.md").read_text(encoding="utf-8")
PART = TEXT.split("## Every constant of drying")[1].split("\n## ")[0]
ROWS = re.findall(r"^\| `([\w.]+)` \| ([^|]+) \| ([^|]+) \| ([^|]+) \|$", PART, re.M)
MODULES = ("layer", "times", "learning", "levers", "crowding")


def value_of(name: str) -> float:
    """What the code has under `module.NAME`, `module.NAME.key` or `module.Class.field`."""
    module, first, *rest = name.split(".")
    found = getattr(importlib.import_module(f"bakery.craft.drying.{module}"), first)
    for key in rest:
        if is_dataclass(found):
            found = next(field.default for field in fields(found) if field.name == key)
            assert found is not MISSING
        else:
            found = found[key]
    return found


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_the_table_agrees_with_the_code(row):
    name, value, unit, source = row
    assert value_of(name) == pytest.approx(float(value), rel=1e-9)
    assert unit.strip()
    assert source.strip()


@pytest.mark.parametrize("module", MODULES)
def test_no_constant_is_left_out(module):
    code = importlib.import_module(f"bakery.craft.drying.{module}")
    numbers = {
        name
        for name, value in vars(code).items()
        if name.isupper() and isinstance(value, (int, float)) and not isinstance(value, bool)
    }
    numbers -= {"HUMIDITY_LIMIT", "PRIOR"}  # worked out from others in the table
    if module != "layer":
        numbers -= {"PROMISE_LIMIT", "HARD", "GAS", "MOLAR_WATER"}
    if module != "times":
        numbers -= {"PER_BATCH"}
    told = {row[0].split(".")[1] for row in ROWS if row[0].startswith(f"{module}.")}
    assert numbers <= told


def test_there_is_a_row_for_every_kind_of_air():
    from bakery.craft.drying import AIR

    assert {row[0].split(".")[-1] for row in ROWS if row[0].startswith("layer.AIR.")} == set(AIR)
