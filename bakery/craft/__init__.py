"""The trade's computing: pure Python, no Django, no clock, no input or output."""
