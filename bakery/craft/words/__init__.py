"""What a customer's own vague words say about an order."""

from .page import Used
from .reader import Reading, names_in, read

__all__ = ["Reading", "Used", "names_in", "read"]
