"""What an order costs and what a price pays, from the same jobs the plan uses."""

from .breaks import BREAKS, Break, quantity_breaks, scaled, set_up_money
from .closing import Floor, fee_of, floor_of, left_of, tax_of, total_for
from .complexity import Complexity, Harder, complexity
from .fitting import Fit, fit_of, fitting_minutes
from .parts import Part
from .price import (
    LinePrice,
    Price,
    asked_instead,
    each_price,
    floor_price,
    is_rush,
    price_of,
    rough_price,
    wage_of,
)
from .prices import Bottle, Prices, Rate
from .quoting import Quoted, QuotedRow, quote_lines
from .simpler import Simpler, made_simpler, simpler_titles, simpler_ways, without_layer

__all__ = [
    "BREAKS",
    "Bottle",
    "Break",
    "Complexity",
    "Fit",
    "Floor",
    "Harder",
    "LinePrice",
    "Part",
    "Price",
    "Prices",
    "Quoted",
    "QuotedRow",
    "Rate",
    "Simpler",
    "asked_instead",
    "complexity",
    "each_price",
    "fee_of",
    "fit_of",
    "fitting_minutes",
    "floor_of",
    "floor_price",
    "is_rush",
    "left_of",
    "made_simpler",
    "price_of",
    "quantity_breaks",
    "quote_lines",
    "rough_price",
    "scaled",
    "set_up_money",
    "simpler_titles",
    "simpler_ways",
    "tax_of",
    "total_for",
    "wage_of",
    "without_layer",
]
