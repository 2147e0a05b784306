"""A computation that takes a while and leaves one mark."""

import time

from bakery.background.kinds import computation


@computation("count", title="Counting")
def count(args, report):
    """Reads all changes first and takes its time: a change that comes meanwhile must bring another run."""
    from .models import Ask, Mark

    seen = Ask.objects.count()
    time.sleep(args["seconds"])
    return lambda: Mark.objects.create(key=str(seen), attempt=report.attempt) and None


@computation("probe", title="Probing")
def probe(args, report):
    from .models import Mark

    steps = 20
    for step in range(steps):
        time.sleep(args["seconds"] / steps)
        report(step / steps, f"step {step}")

    def effects():
        Mark.objects.create(key=args["key"], attempt=report.attempt)
        time.sleep(args.get("slow_effects", 0))  # a wide moment between the effect and its commit

    return effects
