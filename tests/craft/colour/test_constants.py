"""The table of colour constants in DEVELOPERS.md says what the code does, and leaves none out."""

import importlib
import re
from pathlib import Path

import pytest

TEXT = (Path(__file__).parents[3] / "DEVELOPERS.md").read_text(encoding="utf-8")
PART = TEXT.split("## Every constant of colour")[1].split("\n## ")[0]
ROWS = re.findall(r"^\| `([\w.]+)` \| ([^|]+) \| ([^|]+) \| ([^|]+) \|$", PART, re.M)
MODULES = ("layer", "calibration", "matching", "spectra", "photo", "spaces")


def numbers_of(module: str) -> dict[str, float]:
    """Every number written down in a module, those of a mapping by word too; not what it imports."""
    code = importlib.import_module(f"bakery.craft.colour.{module}")
    own = set(re.findall(r"^([A-Z_]+)\b|, ([A-Z_]+)(?= =|,)", Path(code.__file__).read_text(), re.M))
    found = {}
    for name in {one for pair in own for one in pair if one}:
        value = getattr(code, name, None)
        if isinstance(value, (int, float)):
            found[f"{module}.{name}"] = value
        if isinstance(value, dict) and all(isinstance(key, str) for key in value):
            found |= {f"{module}.{name}.{key}": one for key, one in value.items()}
    return found


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_the_table_agrees_with_the_code(row):
    name, value, unit, source = row
    assert numbers_of(name.split(".")[0])[name] == pytest.approx(float(value), rel=1e-9)
    assert unit.strip()
    assert source.strip()


@pytest.mark.parametrize("module", MODULES)
def test_no_constant_is_left_out(module):
    assert set(numbers_of(module)) <= {row[0] for row in ROWS}
