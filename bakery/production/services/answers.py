"""The first answer to what she said: worked out while she waits, a fraction of a second; the rest follows."""

from django.db import transaction
from django.utils import timezone

from ..models import Job
from .plans import ask_for_plan, save_outcome

MOST_JOBS = 900
"""With more to do than this nobody waits: the answer comes from the background, with its progress."""


def answer_now(*, reason: str, now=None) -> str:
    """Look at what no longer fits, propose what moves, and have it looked at closer without anybody waiting.

    Says what came of it: "proposed", "same" (nothing moves) or "none" (it takes longer). Call it outside
    any transaction, after what she said was saved.
    """
    from ..working_out import first_look

    kind = "none"
    if Job.objects.exclude(state=Job.State.DONE).count() <= MOST_JOBS:
        for _ in range(2):
            found = first_look(now=now or timezone.now(), reason=reason)
            kind = found.outcome.kind
            if kind != "proposed":
                break
            with transaction.atomic():
                kind = save_outcome(found)
            if kind != "changed":
                break
    with transaction.atomic():
        ask_for_plan(reason=reason)
    return kind
