"""The airbrush: cleaning between colours, the order with the least of it, the way through the cookies."""

from .batches import Ways, break_even, ways_of
from .cleaning import CLEANING, Cleaning, Paint, changes, clean_minutes, learn
from .order import Order, best_order
from .run import Pass, Run, plan_run

__all__ = [
    "CLEANING",
    "Cleaning",
    "Order",
    "Paint",
    "Pass",
    "Run",
    "Ways",
    "best_order",
    "break_even",
    "changes",
    "clean_minutes",
    "learn",
    "plan_run",
    "ways_of",
]
