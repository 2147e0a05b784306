"""What the rooms above want to hear from the studio."""

from django.dispatch import Signal

# Sent after commit when hours, tools, room or habits have changed so that the plan may be wrong.
# Arguments: reason (plain words).
studio_changed = Signal()
