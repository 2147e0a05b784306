"""Dryby: plans, prices and prints the work of a home cookie kitchen."""
