"""The same plain problems for our planner and for PyJobShop, a general scheduling library (when installed).

What PyJobShop cannot say is taken out for both: holds, longest waits, work that needs hands for a part only,
freshness. What is left is windows (breaks), hands, oven, airbrush, waits, and the least lateness. Each
problem is given to both with the same seconds and workers, the first to run taking turns.

    python benchmarks/planning_peer.py --seconds 5        (needs: pip install pyjobshop)
"""

from __future__ import annotations

import argparse
import sys
import time
import warnings
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from bakery.craft.planning import measure, solve, verify
from tests.craft.planning.makers import studio
from tests.outside.projects import as_problem, published

STAGES = ("missed", "lateness")


def plain(problem):
    """The problem without what the other cannot express."""
    return replace(
        problem,
        windows=[window for window in problem.windows if window.longest is None],
        tasks=[replace(task, attended=task.minutes) for task in problem.tasks],
        lags=[replace(lag, max=None) for lag in problem.lags],
        holds=[],
        orders=[replace(order, event=None, bakes=[]) for order in problem.orders],
    )


def ours(problem, seconds, workers):
    """(seconds, lateness or None, proved?)."""
    began = time.perf_counter()
    plan = solve(problem, seconds=seconds, workers=workers, stages=STAGES)
    took = time.perf_counter() - began
    if not plan:
        return took, None, False
    return took, plan.objective["lateness"], plan.bound["lateness"] == plan.objective["lateness"]


def theirs(problem, seconds, workers):
    """(seconds, lateness or None, proved?) of PyJobShop, its starts checked by our checker."""
    from pyjobshop import Model

    step = problem.step
    began = time.perf_counter()
    model = Model()
    edges = [0] + [edge // step for window in problem.windows for edge in (window.start, window.end)]
    edges.append(problem.horizon // step)
    breaks = [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if a < b]
    hands = max((window.hands for window in problem.windows), default=1)
    somebody = any(task.attended for task in problem.tasks)
    resources = {"hands": model.add_renewable(hands, breaks=breaks)} if somebody else {}
    resources |= {name: model.add_renewable(amount) for name, amount in problem.resources.items()}
    due = {order.finish: order for order in problem.orders}
    tasks = {}
    for one in problem.tasks:
        order = due.get(one.id)
        job = None if order is None else model.add_job(weight=order.weight, due_date=order.pickup // step)
        task = tasks[one.id] = model.add_task(job=job, earliest_start=-(-problem.now // step))
        needs = ({"hands": one.hands} if somebody and one.attended else {}) | dict(one.uses)
        needs = {name: amount for name, amount in needs.items() if amount}
        model.add_mode(task, [resources[name] for name in needs], one.minutes // step, list(needs.values()))
    for lag in problem.lags:
        model.add_end_before_start(tasks[lag.before], tasks[lag.after], -(-lag.min // step))
    model.set_objective(weight_total_tardiness=1)
    result = model.solve(time_limit=seconds, display=False, num_workers=workers)
    took = time.perf_counter() - began
    if result.status.value not in ("Optimal", "Feasible"):
        return took, None, False
    starts = {
        one.id: int(found.start) * step for one, found in zip(problem.tasks, result.best.tasks, strict=True)
    }
    wrong = verify(problem, starts)
    if wrong:
        print("    its plan breaks a rule of ours:", wrong[0])
    return took, measure(problem, starts)["objective"]["lateness"], result.status.value == "Optimal"


def line(name, problem, seconds, workers, turn):
    """Both on one problem, printed."""
    runs = [ours, theirs] if turn % 2 == 0 else [theirs, ours]
    found = {run.__name__: run(problem, seconds, workers) for run in runs}
    cells = [
        f"{took:6.2f} s, late {'no plan' if late is None else late:>7} {'proved' if proved else '      '}"
        for took, late, proved in (found["ours"], found["theirs"])
    ]
    print(f"  {name:24}  ours {cells[0]}    PyJobShop {cells[1]}", flush=True)


def main():
    """Print the comparison."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=5.0)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--projects", action="store_true", help="the published project instances as well")
    options = parser.parse_args()
    warnings.simplefilter("ignore")
    import pyjobshop  # noqa: F401
    from ortools.sat.python import cp_model  # noqa: F401

    turn = 0
    for orders, weeks, hands in ((5, None, 1), (15, None, 1), (40, 8, 1), (100, 12, 2)):
        for load in (0.5, 0.8, 0.95):
            problem = plain(studio(orders, load=load, seed=1, weeks=weeks, hands=hands))
            line(f"{orders} orders, load {load}", problem, options.seconds, options.workers, turn)
            turn += 1
    for name in published() if options.projects else ():
        line(name, as_problem(name), options.seconds, options.workers, turn)
        turn += 1


if __name__ == "__main__":
    main()
