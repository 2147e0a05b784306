"""What an order costs and what a price pays, from the same jobs the plan uses."""

from .parts import Part
from .price import LinePrice, Price, each_price, price_of, rough_price, wage_of
from .prices import Prices
from .simpler import Simpler, simpler_ways, without_layer

__all__ = [
    "LinePrice",
    "Part",
    "Price",
    "Prices",
    "Simpler",
    "each_price",
    "price_of",
    "rough_price",
    "simpler_ways",
    "wage_of",
    "without_layer",
]
