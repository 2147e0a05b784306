"""The example studio: a small studio of our own invention, always dated relative to the moment of asking."""

from .fill import fill_example, plan_example

__all__ = ["fill_example", "plan_example"]
