"""For tests: run what is queued here and now, in this process and this connection."""

from .models import Computation
from .running import run


def run_queued(kind: str | None = None, *, limit: int = 50) -> list[str]:
    """Run what is queued (of one kind) until none is left; one word for each, as `running.run` says it."""
    outcomes: list[str] = []
    while len(outcomes) < limit:
        rows = Computation.objects.filter(state=Computation.State.QUEUED)
        if kind:
            rows = rows.filter(kind=kind)
        row = rows.order_by("id").first()
        if row is None:
            return outcomes
        Computation.objects.filter(pk=row.pk).update(due=row.created)
        outcomes.append(run(row.pk, beating=False))
    raise AssertionError(f"More than {limit} computations were queued; is one queueing itself?")
