"""How many minutes of hands a stretch of time has left: plain arithmetic on spans, no rows and no clock.

All times are whole minutes after one origin. A span is (start, end, pairs of hands).
"""

from collections.abc import Iterable
from itertools import pairwise
from typing import NamedTuple


class Span(NamedTuple):
    """`hands` pairs of hands from `start` until `end`."""

    start: int
    end: int
    hands: int = 1


def left_in(stretch: Span, taken: Iterable[Span]) -> int:
    """Minutes of hands in the stretch that nothing takes. What overlaps takes no more than there is."""
    inside = [
        Span(max(span.start, stretch.start), min(span.end, stretch.end), span.hands)
        for span in taken
        if span.start < stretch.end and span.end > stretch.start
    ]
    edges = sorted({stretch.start, stretch.end, *(edge for span in inside for edge in span[:2])})
    total = 0
    for low, high in pairwise(edges):
        busy = sum(span.hands for span in inside if span.start <= low and span.end >= high)
        total += (high - low) * max(0, stretch.hands - busy)
    return total


def washing_up(stretch: Span, minutes: int) -> Span:
    """The washing-up at the end of a session; a short one is not eaten up by it."""
    return Span(stretch.end - round(min(minutes, (stretch.end - stretch.start) / 4)), stretch.end, 1)
