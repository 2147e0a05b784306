"""Measures the planner on invented kitchens: `python benchmarks/planning.py [first sessions ...]`.

Everything printed is measured in this run. Kitchens come from tests/craft/planning/makers.py.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from bakery.craft.planning import backward_pass, may_stop, promise, solve, tonight, verify
from bakery.craft.planning.clock import Clock
from bakery.craft.planning.first import first_plan
from bakery.craft.planning.grid import Grid
from bakery.craft.planning.parts import without_orders, without_window
from bakery.craft.planning.risk import on_time_chance
from bakery.craft.planning.solver import STAGES
from tests.craft.planning.makers import DAY, studio

LOADS = (0.5, 0.8, 0.95, 1.1)
SIZES = ((5, None, 1), (15, None, 1), (40, 8, 1), (100, 12, 2))


def kitchen(orders, weeks, hands, load, seed=1):
    """A kitchen of the benchmark."""
    return studio(orders, load=load, seed=seed, weeks=weeks, hands=hands)


def timed(function, *arguments, **options):
    """(seconds, answer)."""
    began = time.perf_counter()
    answer = function(*arguments, **options)
    return time.perf_counter() - began, answer


def words(plan):
    """A plan in a few words."""
    if plan is None or not plan.objective:
        return "no plan"
    late = len(plan.late)
    return f"{late} late" if late else "on time"


def first(options):
    """Time to a first plan, by the backward pass alone and with everything that follows it."""
    print("First plan                 tasks   pass ms              with search s")
    for orders, weeks, hands in options.sizes:
        for load in LOADS:
            problem = kitchen(orders, weeks, hands, load)
            quick, plan = timed(backward_pass, problem)
            took, found = timed(first_plan, Grid(problem), Clock(options.seconds))
            print(
                f"  {orders:3} orders, load {load:4}  {len(problem.tasks):6}   {quick * 1000:7.0f}"
                f" {words(plan):9}   {took:6.2f} {words(found)}"
            )


def sessions(options):
    """Fewest sessions and their bound after a second, and after all seconds.

    Stopped once the sessions are settled; on a machine with other work, the processor's seconds tell more.
    """
    print("Sessions (bound)           first    1 s           all s         status, missed, s (of processor)")
    for orders, weeks, hands in options.sizes:
        for load in LOADS[:2]:
            problem = kitchen(orders, weeks, hands, load)
            start = backward_pass(problem)
            cells = [f"{start.objective['sessions']:5}" if start else "    -"]
            for seconds in (1.0, options.seconds):
                began = time.process_time()
                plan = solve(problem, seconds=seconds, stages=STAGES[: STAGES.index("sessions") + 1])
                worked = time.process_time() - began
                shown = f"{plan.objective['sessions']} ({plan.bound['sessions']})" if plan else "-"
                cells.append(f"{shown:12}")
            missed = plan.objective["missed"] if plan else "-"
            print(
                f"  {orders:3} orders, load {load:4}   "
                + "  ".join(cells)
                + f"  {plan.status}, {missed}, {plan.seconds:.2f} ({worked:.2f})",
                flush=True,
            )


def as_time_goes_by(problem, plan, now):
    """The problem at a later moment, everything done as planned."""

    def state(task):
        start = plan.starts[task.id]
        if start + task.minutes <= now:
            return replace(task, state="done", start=start)
        return replace(task, state="running", start=start) if start < now else task

    tasks = [state(task) for task in problem.tasks]
    facts = {task.id for task in tasks if task.state != "todo"}
    # As in bakery.craft.work: what is too old by then is made again, and binds no plan.
    lags = [replace(lag, max=None) if lag.before in facts else lag for lag in problem.lags]
    return replace(problem, tasks=tasks, lags=lags, now=now, wall=plan.starts)


def evenings(options):
    """Evenings of a month in 40 orders: (problem at six in the evening, plan)."""
    for load in (0.5, 0.65):
        problem = kitchen(40, 8, 1, load, seed=2)
        plan = solve(problem, seconds=options.seconds)
        if plan and not plan.late:
            for day in range(5, 26, 4):
                yield as_time_goes_by(problem, plan, day * DAY + 17 * 60), plan


def evening_questions(options):
    """Tonight with proofs, and whether she may stop."""
    print(
        "Tonight, 40 orders         candidates  must undecided  verdicts ms  with start by s (known)  stop ms"
    )
    for problem, plan in evenings(options):
        quick, answer = timed(tonight, problem, plan=plan, latest=False, seconds=1)
        slow, full = timed(tonight, problem, plan=plan, seconds=3)
        halt, stop = timed(may_stop, problem, plan=plan)
        verdicts = [one.verdict for one in answer.tasks.values()]
        known = sum(one.latest_start is not None for one in full.tasks.values())
        print(
            f"  minute {problem.now:6}           {len(verdicts):6}  {verdicts.count('must'):8}"
            f" {verdicts.count('undecided'):6}     {quick * 1000:7.0f}"
            f"      {slow:6.2f} ({known}/{len(full.tasks)})          {halt * 1000:6.0f} {stop.answer}"
        )


def promises(options):
    """Random questions: one order more, put at a random day into a kitchen that is full or not."""
    rng, times, answers = random.Random(1), {}, {}
    for number in range(options.questions):
        problem = studio(15, load=rng.uniform(0.4, 1.0), seed=rng.randrange(10**6))
        order = problem.orders[rng.randrange(len(problem.orders))]
        others = without_orders(problem, [order.id])
        old = solve(others, seconds=1.0, stages=("missed", "lateness"))
        moved = replace(
            order, pickup=max(DAY, order.pickup + rng.choice([-3, -2, -1, 0, 0, 1]) * DAY), event=None
        )
        asked = replace(problem, orders=[moved if one.id == order.id else one for one in problem.orders])
        plan = old if old and not old.late else None
        if plan is None:
            continue  # the studio without the order is late already: no question
        took, answer = timed(promise, asked, order.id, plan=plan, seconds=2, earliest=False)
        times.setdefault(answer.answer, []).append(took)
        kind = answer.why["kind"] if answer.why else ""
        answers[answer.answer, kind] = answers.get((answer.answer, kind), 0) + 1
        if answer.answer == "yes":
            assert verify(asked, answer.plan) == []
        if number % 50 == 49:
            print(f"    {number + 1} asked", file=sys.stderr)
    total = sum(map(len, times.values()))
    print(f"Promises, {total} questions on 15 orders")
    for name, found in sorted(times.items()):
        found.sort()
        p95 = found[min(len(found) - 1, int(0.95 * len(found)))]
        print(
            f"  {name:8} {len(found):5} ({100 * len(found) / total:5.1f} %)"
            f"   median {statistics.median(found) * 1000:6.0f} ms"
            f"   p95 {p95 * 1000:6.0f} ms   worst {found[-1] * 1000:6.0f} ms"
        )
    print("  reasons:", {kind: count for (_, kind), count in sorted(answers.items()) if kind})


def chances(options):
    """2,000 courses of events of 40 orders."""
    problem = kitchen(40, 8, 1, 0.5)
    plan = backward_pass(problem)
    on_time_chance(problem, plan, samples=10)
    took, found = timed(on_time_chance, problem, plan, padding=1.15)
    mean = sum(found.orders.values()) / len(found.orders)
    print(
        f"Chances, 2,000 x 40 orders: {took * 1000:.0f} ms; padded x1.15, mean chance of an order {mean:.2f}"
    )


def bad_nights(options):
    """An evening lost, the airbrush out, half done: time to the new plan and what moved."""
    print("Bad nights, 40 orders      seconds   moved  late")
    for problem, plan in list(evenings(options))[1:4]:
        tonight_ = next(
            k for k, one in enumerate(problem.windows) if one.longest is None and one.end > problem.now
        )
        lost = replace(without_window(problem, tonight_), wall=plan.starts)
        took, found = timed(solve, lost, seconds=1.0, stages=("missed", "lateness", "soft", "stale"))
        took2, least = timed(solve, lost, seconds=2.0, hint=found)
        moved = least.objective.get("moved") if least else "-"
        print(
            f"  evening lost at {problem.now:6}   {took:5.2f} (then {took2:.2f})  {moved}  {dict(found.late)}"
        )


def published(options):
    """The published project-scheduling instances, with times."""
    from tests.outside.projects import as_problem
    from tests.outside.projects import published as table

    print("Project scheduling         least makespan   seconds")
    for name, row in table().items():
        problem = as_problem(name)
        took, plan = timed(solve, problem, seconds=options.seconds * 3, stages=("missed", "lateness"))
        value, bound = plan.objective["lateness"] - 1, plan.bound["lateness"] - 1
        print(
            f"  {name:12} {value:4} (bound {bound:4}) published {row['lower_bound']}..{row['upper_bound']}"
            f"   {took:6.2f}"
        )


PARTS = {
    "first": first,
    "sessions": sessions,
    "tonight": evening_questions,
    "promise": promises,
    "chances": chances,
    "bad": bad_nights,
    "projects": published,
}


def main():
    """Run the parts asked for, all by default."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("parts", nargs="*", choices=[*PARTS, []], default=[])
    parser.add_argument("--seconds", type=float, default=5.0)
    parser.add_argument("--questions", type=int, default=100)
    parser.add_argument("--most", type=int, default=100, help="leave out kitchens with more orders")
    options = parser.parse_args()
    options.sizes = [size for size in SIZES if size[0] <= options.most]
    import ortools.sat.python.cp_model  # noqa: F401  (its import is not what is measured)

    for name in options.parts or PARTS:
        PARTS[name](options)
        sys.stdout.flush()


if __name__ == "__main__":
    main()
