"""What planned work will use from the cupboard, by colour and amount; the cupboard asks for it by a signal."""

from django.dispatch import receiver

from bakery.stock.signals import Need, needs_asked

from .models import Job

MEDIUM = {"spray": "airbrush"}
ICED = ("flood", "icing_pass", "pipe", "letter", "transfer")


def needs_of_jobs(jobs) -> list[Need]:
    """A need for each colour of each layer; mixing draws on the same colours and is not counted twice."""
    found = []
    for job in jobs:
        at = job.started_at or job.planned_start
        if at is None or (job.kind not in ICED and job.kind not in MEDIUM):
            continue
        medium = MEDIUM.get(job.kind, "icing")
        for colour in job.colours:
            amount = job.grams / max(1, len(job.colours)) if medium == "icing" else 0
            found.append(Need(colour, at, job.order.title, medium, amount, "g" if amount else ""))
    return found


@receiver(needs_asked)
def when_needs_are_asked(sender, now, **more):
    open_jobs = Job.objects.exclude(state=Job.State.DONE).filter(planned_start__isnull=False)
    return needs_of_jobs(open_jobs.select_related("order"))
