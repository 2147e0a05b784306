"""Every read of the kitchen, each with a bounded number of queries."""

from .morning import question
from .tonight import TonightView, session_at, tonight_view

__all__ = ["TonightView", "question", "session_at", "tonight_view"]
