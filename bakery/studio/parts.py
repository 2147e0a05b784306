"""What rooms above the studio know about the shop, such as how many copies of a stencil there are."""

from collections.abc import Callable

_shop: dict[str, Callable] = {}


def add_to_shop(field: str, read: Callable) -> None:
    """Register the reader of one field of the core's Shop; an app calls this when it is ready."""
    _shop[field] = read


def more_of_the_shop() -> dict:
    return {field: read() for field, read in _shop.items()}
