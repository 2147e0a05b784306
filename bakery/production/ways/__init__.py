"""Changes that make an order fit: each tried with a checked plan before it is shown, the gentlest first."""

from .found import Way, Ways
from .look import LAST, look, look_at_all

__all__ = ["LAST", "Way", "Ways", "look", "look_at_all"]
