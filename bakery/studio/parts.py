"""What rooms above the studio know about the shop (stencil copies, own minutes)."""

from collections.abc import Callable, Mapping

_parts: dict[str, Callable[[], Mapping]] = {}


def add_to_shop(field: str, read: Callable[[], Mapping]) -> None:
    """Register the reader of one field of the core's Shop; an app calls this when it is ready."""
    _parts[field] = read


def more_of_the_shop() -> dict[str, Mapping]:
    return {field: read() for field, read in _parts.items()}
