"""Sets of slots as Python integers: bit k stands for slot k."""

from __future__ import annotations


def span(start: int, end: int) -> int:
    """The slots from `start` up to but not including `end`."""
    start = max(0, start)
    return ((1 << (end - start)) - 1) << start if end > start else 0


def first(slots: int, least: int = 0) -> int:
    """The first slot at or after `least`, or -1."""
    rest = slots >> max(0, least)
    return -1 if not rest else max(0, least) + (rest & -rest).bit_length() - 1


def last(slots: int, most: int) -> int:
    """The last slot at or before `most`, or -1."""
    return (slots & ((1 << (most + 1)) - 1)).bit_length() - 1 if most >= 0 else -1


def runs(slots: int, length: int) -> int:
    """The slots at which a run of `length` slots, all in the set, begins (everywhere, for no length)."""
    if length <= 0:
        return -1
    have = 1
    while have < length and slots:
        more = min(have, length - have)
        slots &= slots >> more
        have += more
    return slots


def intervals(slots: int) -> list[tuple[int, int]]:
    """The set as closed intervals (first slot, last slot), in order."""
    found, at = [], 0
    while slots:
        skip = (slots & -slots).bit_length() - 1
        slots >>= skip
        length = (~slots & (slots + 1)).bit_length() - 1
        found.append((at + skip, at + skip + length - 1))
        slots >>= length
        at += skip + length
    return found
