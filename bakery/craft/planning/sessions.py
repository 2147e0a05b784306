"""Fewest working sessions that any plan can have: a bound by energy, without search."""

from __future__ import annotations

from .goals import pinned_windows


def least_sessions(grid, lo=None, hi=None) -> int:
    """Return a lower bound on the windows without `longest` in which work must start."""
    return len(pinned_windows(grid))
