"""What the rooms above want to hear from orders."""

from django.dispatch import Signal

# Sent after commit whenever what must be made, or when, has changed. Arguments: reason (plain words).
orders_changed = Signal()
