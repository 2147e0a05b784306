"""From what an order costs to what is asked for it: margin, rush, road, fees, tax, and the rounding.

A fee is taken from the whole that is paid, tax included, and a tax that is included is part of that whole, so
both follow from one equation: with net = cost + margin + rush + road,

    total = (net + fixed fee) / (1 - fee share - tax share),    tax share = rate / (100 + rate)

(the gross-up: a price from which shares are taken is what must be left, divided by the share that is left).
"""

from dataclasses import dataclass
from decimal import ROUND_UP, Decimal
from fractions import Fraction

from .parts import PENNY, Part, pence, rounded
from .prices import Prices

__all__ = ["Closed", "Floor", "close", "fee_of", "floor_of", "left_of", "tax_of", "total_for"]


@dataclass(frozen=True)
class Closed:
    """The parts after the cost, and the whole."""

    parts: tuple[Part, ...]
    total: Decimal


@dataclass(frozen=True)
class Floor:
    """The least she can ask, up to a penny: `nothing` pays her nothing an hour, `wage` just her wage."""

    nothing: Decimal
    wage: Decimal


def close(
    spent: Decimal, time: Decimal, minutes: int, prices: Prices, *, road: Part, rush: bool = False
) -> Closed:
    """The parts from margin to rounding, and the total they end in.

    Parameters
    ----------
    spent : materials, packing, power and overhead, without the road
    time : her minutes at her wage
    minutes : all minutes of the order
    road : what delivery costs, its own part
    rush : whether it is asked for in a hurry: then `rush_percent` comes on cost and margin
    """
    margin = _margin(spent + time, time, minutes, prices)
    hurry = (
        pence(Fraction(spent + time + margin.amount) * Fraction(prices.rush_percent) / 100)
        if rush
        else Decimal(0)
    )
    net = spent + time + margin.amount + hurry + road.amount
    total = _round(total_for(net, prices), prices)
    fees, tax = _fees(total, prices), _tax(total, prices)
    parts = [
        margin,
        Part("rush", f"For the rush, {percent(prices.rush_percent)} %", hurry),
        road,
        fees,
        tax,
        Part("rounding", "To round it", total - net - fees.amount - tax.amount),
    ]
    return Closed(tuple(part for part in parts if part.amount or part.key in ("margin", "rounding")), total)


def charges(total: Decimal, prices: Prices) -> list[Part]:
    """Fee and tax of what is paid, those that are something."""
    return [part for part in (_fees(total, prices), _tax(total, prices)) if part.amount]


def total_for(net: Decimal | Fraction, prices: Prices) -> Fraction:
    """What must be paid so that `net` is left after fee and tax; exact, not rounded."""
    return (Fraction(net) + Fraction(prices.fee_fixed)) / prices.kept


def fee_of(total: Decimal, prices: Prices) -> Decimal:
    """The fee on what is paid, to the penny."""
    return _fees(total, prices).amount


def tax_of(total: Decimal, prices: Prices) -> Decimal:
    """The tax inside what is paid, to the penny; where it comes on top, the rest is the price before tax."""
    return pence(Fraction(total) * prices.tax)


def left_of(total: Decimal, prices: Prices) -> Decimal:
    """What is left of a payment after fee and tax."""
    return total - fee_of(total, prices) - tax_of(total, prices)


def floor_of(spent: Decimal, minutes: int, prices: Prices) -> Floor:
    """The price that pays nothing an hour, and the one that pays her wage; `spent` includes the road."""
    paid = Fraction(prices.wage) * minutes / 60
    return Floor(_up(total_for(spent, prices)), _up(total_for(Fraction(spent) + paid, prices)))


def _up(value: Fraction) -> Decimal:
    cents = -((-value * 100) // 1)
    return (Decimal(int(cents)) / 100).quantize(PENNY, ROUND_UP)


def percent(number) -> str:
    return f"{Decimal(number).normalize():f}"


def _margin(cost: Decimal, time: Decimal, minutes: int, prices: Prices) -> Part:
    if prices.rule == "wage":
        lift = pence(Fraction(prices.target_wage) * minutes / 60) - time
        how = f"{minutes} min at {prices.target_wage:.2f} an hour, less {time:.2f} for your time"
        return Part("margin", f"So that the hour pays {prices.target_wage:.2f}", lift, how=how)
    share = percent(prices.margin * 100)
    amount = pence(Fraction(cost) * Fraction(prices.margin))
    return Part("margin", f"Margin, {share} %", amount, how=f"{share} % on {cost:.2f}")


def _round(total: Fraction, prices: Prices) -> Decimal:
    """To the coin: the price as she says it, which with tax on top is the one before tax."""
    if prices.tax_included or not prices.tax_percent:
        return rounded(pence(total), prices.round_to).quantize(PENNY)
    before = rounded(pence(total * (1 - prices.tax)), prices.round_to).quantize(PENNY)
    return before + pence(Fraction(before) * Fraction(prices.tax_percent) / 100)


def _fees(total: Decimal, prices: Prices) -> Part:
    amount = pence(Fraction(total) * prices.fee + Fraction(prices.fee_fixed)) if total else Decimal("0.00")
    words = [f"{percent(prices.fee_percent)} % of {total:.2f}"] if prices.fee_percent else []
    words += [f"{prices.fee_fixed:.2f} a payment"] if prices.fee_fixed else []
    return Part("fees", "Card or market fee", amount, how=", and ".join(words))


def _tax(total: Decimal, prices: Prices) -> Part:
    amount, rate = tax_of(total, prices), percent(prices.tax_percent)
    if prices.tax_included:
        how = f"{rate} in every {percent(100 + prices.tax_percent)} of {total:.2f}"
        return Part("tax", f"Tax, {rate} %, included", amount, how=how)
    return Part("tax", f"Tax, {rate} %, on top", amount, how=f"{rate} % on {total - amount:.2f}")
