"""Wafer paper: which pieces a design, an order, an evening or a week wants, and how the sheets are cut."""
