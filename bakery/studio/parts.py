"""What rooms above the studio know about the shop (stencil copies) and about prices (packets bought)."""

from collections.abc import Callable

_shop: dict[str, Callable] = {}
_prices: dict[str, Callable] = {}


def add_to_shop(field: str, read: Callable) -> None:
    """Register the reader of one field of the core's Shop; an app calls this when it is ready."""
    _shop[field] = read


def add_to_prices(field: str, read: Callable) -> None:
    """Register the reader of one field of the core's Prices."""
    _prices[field] = read


def more_of_the_shop() -> dict:
    return {field: read() for field, read in _shop.items()}


def more_of_the_prices() -> dict:
    return {field: read() for field, read in _prices.items()}
