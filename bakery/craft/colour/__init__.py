"""Colour: what a screen colour is to the eye, and what drops from several bottles make together.

Import the parts by name (`layer`, `matching`, `calibration`, `spaces`): they bring NumPy, which pages without
colour do without.
"""

ICING = "#f4f1e8"
"""White royal icing until she has measured hers (common practice, no source)."""
