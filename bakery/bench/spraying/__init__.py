"""The airbrush list: which colours when, what to fill, which way through the cookies."""

from .evening import Evening, evening_of
from .timings import Timings, timings

__all__ = ["Evening", "Timings", "evening_of", "timings"]
