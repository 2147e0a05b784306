"""`tick`: sent by a worker every few minutes and once at its start; receivers enqueue what is due.

Receivers must be quick and safe to repeat: two workers may tick at the same moment.
"""

from django.dispatch import Signal

tick = Signal()
