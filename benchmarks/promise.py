"""Promises: how long a yes and a no take, and how often the answer is "not sure".

    python benchmarks/promise.py [questions] [seconds]

Asks random questions (seeded) of the example studio: kind, number, colours and day at random. Prints the
answers with p50 and p95 of the whole question (rows read, problem built, answer found, reason said), the
share of "not sure" at that limit, and what looking on six times as long leaves of it. "Work" is computing
time of all threads, which a busy machine does not blur. It fills a studio of its own.
"""

import os
import random
import sys
import tempfile
import time
from datetime import timedelta
from pathlib import Path

os.environ["DRYBY_HOME"] = tempfile.mkdtemp(prefix="dryby-promise-")
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bakery.settings")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import django

django.setup()

from django.core.management import call_command  # noqa: E402
from django.utils import timezone  # noqa: E402

from bakery.craft.work import KINDS, LineSpec, OrderSpec  # noqa: E402
from bakery.orders.forms import USUAL_COLOURS  # noqa: E402

LONGER = 6


def kitchen(now):
    from bakery.production.services import make_plan
    from bakery.studio.example.fill import fill_example

    call_command("migrate", verbosity=0)
    fill_example(now)
    make_plan(now=now)


def questions(count, now, seed=1):
    """Random orders as a customer might ask for them: up to 90 cookies, from tomorrow to five weeks ahead."""
    rng = random.Random(seed)
    for _ in range(count):
        kind = rng.choice(KINDS)
        day = now + timedelta(days=rng.choice([*range(1, 15), *range(1, 36)]))
        when = day.replace(hour=rng.choice((10, 12, 15, 17)), minute=0, second=0, microsecond=0)
        colours = max(1, USUAL_COLOURS[kind] + rng.choice((-1, 0, 0, 1)))
        line = LineSpec("l1", "", kind, rng.choice((6, 12, 18, 24, 24, 36, 48, 60, 90)), colours=colours)
        yield OrderSpec("new", "asked", (line,), when)


def ask_all(specs, now, seconds):
    from bakery.production.asking import ask

    found = []
    for spec in specs:
        begun, spent = time.perf_counter(), time.process_time()
        answer = ask(spec, now=now, seconds=seconds).answer
        found.append((answer, time.perf_counter() - begun, time.process_time() - spent, spec))
    return found


def row(name, times, work):
    if not times:
        return f"{name:<10}{0:>6}"
    times, work = sorted(times), sorted(work)
    at = min(len(times) - 1, int(len(times) * 0.95))
    shown = (times[len(times) // 2], times[at], times[-1], work[at])
    return f"{name:<10}{len(times):>6}" + "".join(f"{one * 1000:>9.0f} ms" for one in shown)


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 2.0
    today = timezone.localtime()
    now = today.replace(hour=15, minute=0, second=0, microsecond=0)
    kitchen(now)
    specs = list(questions(count, now))
    ask_all(specs[:3], now, seconds)  # the solver is loaded, the pages are warm
    found = ask_all(specs, now, seconds)
    print(f"{count} random questions of the example studio, {seconds:g} s each, on {today:%d %B %Y}")
    print(f"{'answer':<10}{'how many':>6}{'p50':>10}{'p95':>12}{'longest':>12}{'p95 of work':>12}")
    for answer in ("yes", "no", "unknown"):
        mine = [one for one in found if one[0] == answer]
        said = {"unknown": "not sure"}.get(answer, answer)
        print(row(said, [one[1] for one in mine], [one[2] for one in mine]))
    unsure = [spec for a, _, _, spec in found if a not in ("yes", "no")]
    print(f"not sure: {len(unsure) / count:.1%} at {seconds:g} s", end="")
    if unsure:
        left = [a for a, *_ in ask_all(unsure, now, seconds * LONGER) if a not in ("yes", "no")]
        print(f"; after looking on for {seconds * LONGER:g} s: {len(left) / count:.1%}", end="")
    print()


if __name__ == "__main__":
    main()
