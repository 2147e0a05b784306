"""Years of invented history, to see how the house carries them: orders, jobs, payments, packets and moves."""

from .fill import fill_history

__all__ = ["fill_history"]
