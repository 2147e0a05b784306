"""Colours, the mixing bench, the airbrush list and the drying page."""
