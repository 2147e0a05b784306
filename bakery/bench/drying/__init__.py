"""Drying: how long it will take now, what can be turned, what her touches taught."""
