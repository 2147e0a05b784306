"""How much work a cookie is against a plain flooded one, and where the difference comes from."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction

from ..work import LineSpec, OrderSpec, Shop, Work, layers_of, work_of
from ..work.kinds import shop_minutes
from ..work.merging import spray_layers
from ..work.spraying import change_minutes
from .minutes import placing_minutes
from .parts import apportion, rounded

__all__ = ["Complexity", "Harder", "complexity"]

TENTH = Decimal("0.1")
WHEN = datetime(2000, 1, 1, tzinfo=UTC)
OF_JOB = {
    "mix": "colours",
    "flood": "flooding",
    "pipe": "dots",
    "letter": "letters",
    "transfer": "pieces",
    "wafer": "pieces",
    "brush": "painting",
}
ORDER = (
    "passes",
    "placings",
    "colours",
    "dots",
    "pieces",
    "letters",
    "painting",
    "flooding",
    "designs",
    "rest",
)
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True)
class Harder:
    """One cause: its words, its minutes a cookie, and by how many plain cookies that is more."""

    key: str
    title: str
    minutes: float
    times: Decimal


@dataclass(frozen=True)
class Complexity:
    """`times` a plain cookie in tenths: 1 and the sum of `parts`. Minutes are a cookie's, dough to bag."""

    times: Decimal
    minutes: float
    plain: float
    parts: tuple[Harder, ...]

    @property
    def words(self) -> str:
        """`2.3 times a plain cookie: three passes +0.8, 24 dots +0.3`."""
        if not self.parts:
            return "As much work as a plain cookie."
        more = ", ".join(f"{part.title} {part.times:+}" for part in self.parts)
        return f"{self.times} times a plain cookie: {more}"


def complexity(line: LineSpec, shop: Shop | None = None) -> Complexity:
    """Work at the bench for one cookie of the line against one of her plain ones, as many of them together.

    Talk, door and road are left out: they are the order's, not the cookie's. The parts are the differences of
    the jobs' minutes, so they add up; in tenths the largest remainders are rounded up.
    """
    shop = shop or Shop()
    mine = _alone(replace(line, stage="nothing", stage_at=None, baked_at=None), shop)
    flat = _alone(
        LineSpec(line.id, "", "plain", line.quantity, spares=line.spares, packaging=line.packaging), shop
    )
    per = Fraction(1, line.quantity)
    base = flat.bench_minutes * per
    minutes = _by_cause(mine)
    for cause, usual in _by_cause(flat).items():
        minutes[cause] -= usual
    causes = [(key, minutes[key] * per) for key in ORDER if minutes[key]]
    total = rounded_tenths(sum((more for _, more in causes), Fraction(0)) / base)
    shares = apportion(total, [more / base for _, more in causes], TENTH)
    parts = tuple(
        Harder(key, _title(key, line), float(more), share)
        for (key, more), share in zip(causes, shares, strict=True)
        if share
    )
    return Complexity(1 + total, float(mine.bench_minutes * per), float(base), parts)


def rounded_tenths(value: Fraction) -> Decimal:
    """To the nearest tenth."""
    return rounded(Decimal(value.numerator) / Decimal(value.denominator), TENTH).quantize(TENTH)


def _alone(line: LineSpec, shop: Shop) -> Work:
    return work_of(OrderSpec("alone", "", (line,), WHEN), shop)


def _by_cause(work: Work) -> dict[str, Fraction]:
    found: dict[str, Fraction] = defaultdict(Fraction)
    line, shop = work.order.lines[0], work.shop
    for job in work.jobs:
        if not job.planned:
            continue
        minutes = Fraction(job.attended * job.hands)
        if job.kind in ("spray", "icing_pass"):
            holding = min(minutes, Fraction(str(round(placing_minutes(job, work), 3))))
            change = Fraction(0)
            if job.kind == "spray":
                change = Fraction(str(round(change_minutes(spray_layers(work, job)[1], shop), 3)))
                designs = Fraction(str((line.designs - 1) * shop_minutes(shop, "spray_design")))
                designs = min(designs, minutes - holding)
                found["designs"] += designs
                minutes -= designs
            change = min(change, minutes - holding)
            found["placings"] += holding
            found["colours"] += change
            found["passes"] += minutes - holding - change
        else:
            found[OF_JOB.get(job.kind, "rest")] += minutes
    return found


def _title(key: str, line: LineSpec) -> str:
    layers = layers_of(line)
    laid = [layer for layer in layers if layer.kind in ("spray", "icing_pass")]
    if key == "passes":
        return _count(len(laid), "pass", "passes")
    if key == "placings":
        return _count(sum(layer.placings for layer in laid), "placing")
    if key == "colours":
        return _count(len({colour for layer in layers for colour in layer.colours}), "colour")
    if key == "dots":
        dots = sum(layer.dots for layer in layers)
        return f"{dots} dots" if dots else "dots and lines"
    if key == "pieces":
        return _count(sum(layer.kind in ("transfer", "wafer") for layer in layers), "piece")
    return {"letters": "lettering", "painting": "painting", "flooding": "flooding", "rest": "dough and oven",
            "designs": _count(line.designs, "design")}[key]  # fmt: skip


def _count(number: int, one: str, many: str = "") -> str:
    word = NUMBERS[number] if number < len(NUMBERS) else str(number)
    return f"{word} {one if number == 1 else many or one + 's'}"
