"""What rooms above the studio know of the shop and its prices: copies of a stencil, a packet's price."""

from collections.abc import Callable

_shop: dict[str, Callable] = {}
_more: list[Callable[[], dict]] = []
_prices: list[Callable[[], dict]] = []


def add_to_shop(field: str, read: Callable) -> None:
    """Register the reader of one field of the core's Shop; an app calls this when it is ready."""
    _shop[field] = read


def add_fields_to_shop(read: Callable[[], dict]) -> None:
    """Register a reader of several fields of the core's Shop; an app calls this when it is ready."""
    if read not in _more:
        _more.append(read)


def more_of_the_shop() -> dict:
    more = {field: value for read in _more for field, value in read().items()}
    return more | {field: read() for field, read in _shop.items()}


def add_to_prices(read: Callable[[], dict]) -> None:
    """Register a reader of some fields of the core's Prices; an app calls this when it is ready."""
    if read not in _prices:
        _prices.append(read)


def more_of_the_prices() -> dict:
    return {field: value for read in _prices for field, value in read().items()}
