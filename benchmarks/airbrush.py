"""The order of airbrush colours: exact, beside every order there is and beside a general solver.

    python benchmarks/airbrush.py [instances]

Colours are drawn at random (seeded) over the whole of sRGB, with 0 to 5 rules of the kind "this one before
that one"; evenings are 12 colours over eight designs of three passes each, whose orders cross. Times are
computing time of all threads in milliseconds, mean and largest; the solver works on one thread with ten
seconds a question. Every cost is compared: a line ends with how many agreed. Last, what a hundred orders with
sprayed layers cost the planner, with flat minutes and with the colours' own.
"""

import random
import sys
import time
from datetime import UTC, datetime, timedelta
from itertools import permutations
from pathlib import Path
from unittest import mock

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import numpy as np

from bakery.craft.airbrush import Paint, Pass, changes, crossing, plan_run
from bakery.craft.airbrush.order import best_order, cost_of
from bakery.craft.work import Layer, LineSpec, OrderSpec, Shop, work_of

EVERY = 9
SIZES = (8, 9, 10, 12, 13, 14, 15)


def question(rng: random.Random, size: int):
    paints = [Paint(str(i), f"#{rng.randrange(1 << 24):06x}") for i in range(size)]
    costs = np.rint(10 * changes(paints)).astype(int)
    pairs = [tuple(sorted(rng.sample(range(size), 2))) for _ in range(rng.randint(0, 5))]
    return paints, costs, pairs


def every_order(costs, pairs) -> int:
    size = len(costs)
    return min(
        cost_of(costs, order)
        for order in permutations(range(size))
        if all(order.index(a) < order.index(b) for a, b in pairs)
    )


def by_solver(costs, pairs) -> int:
    """A circuit through all colours and a free start, with places in the order for the rules."""
    from ortools.sat.python import cp_model

    size, model = len(costs), cp_model.CpModel()
    place = [model.new_int_var(0, size - 1, f"p{i}") for i in range(size)]
    arcs, terms = [], []
    for i in range(size):
        first, last = model.new_bool_var(""), model.new_bool_var("")
        arcs += [(size, i, first), (i, size, last)]
        model.add(place[i] == 0).only_enforce_if(first)
        for j in range(size):
            if i != j:
                arc = model.new_bool_var("")
                arcs.append((i, j, arc))
                terms.append(int(costs[i][j]) * arc)
                model.add(place[j] == place[i] + 1).only_enforce_if(arc)
    model.add_circuit(arcs)
    for a, b in pairs:
        model.add(place[a] < place[b])
    model.minimize(sum(terms))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.max_time_in_seconds = 1, 10
    solver.parameters.catch_sigint_signal = False
    status = solver.solve(model)
    return int(solver.objective_value) if status == cp_model.OPTIMAL else -1


def timed(what, *args):
    start = time.process_time()
    found = what(*args)
    return found, 1000 * (time.process_time() - start)


def said(times) -> str:
    return f"{sum(times) / len(times):9.1f} {max(times):9.1f}" if times else f"{'':>9} {'':>9}"


def orders(count: int) -> None:
    rng = random.Random(6)
    timed(best_order, question(rng, 8)[1])  # NumPy wakes up
    heads = " | ".join(f"{name:>9} {'most':>9}" for name in ("exact ms", "every", "solver"))
    print(f"colours | {heads} | agree")
    for size in SIZES:
        ours, plain, solver, agree, asked = [], [], [], 0, 0
        for number in range(count):
            _, costs, pairs = question(rng, size)
            found, took = timed(best_order, costs, pairs)
            ours.append(took)
            answers = []
            if size <= EVERY and number < 2:
                least, took = timed(every_order, costs, pairs)
                plain.append(took)
                answers.append(least)
            if number < 3:
                least, took = timed(by_solver, costs, pairs)
                solver.append(took)
                answers += [least] if least >= 0 else []
            asked += len(answers)
            agree += sum(answer == found.cost for answer in answers)
        print(f"{size:>7} | {said(ours)} | {said(plain)} | {said(solver)} | {agree} of {asked}")


def evening(rng: random.Random) -> list[Pass]:
    """Several designs, each with passes in their own order: colours may have to be filled twice."""
    paints, passes = question(rng, 12)[0], []
    for design in range(8):
        for at, paint in enumerate(rng.sample(paints, 3)):
            after = (f"{design}.{at - 1}",) if at else ()
            passes.append(Pass(f"{design}.{at}", str(design), paint, 12, after=after))
    return passes


def evenings(count: int) -> None:
    """The search with its table of ways through what is left, beside the one bounded by cheapest entries."""
    rng, took, plainly, proved, agree = random.Random(7), [], [], 0, 0
    for _ in range(count):
        passes = evening(rng)
        run, ms = timed(plan_run, passes)
        took.append(ms)
        with mock.patch.object(crossing, "TABLED", 0):
            plain, ms = timed(plan_run, passes)
        plainly.append(ms)
        proved += run.proved
        agree += run.cleaning == plain.cleaning
    print(f"{'evenings':>8} | {'ms':>9} {'most':>9} | {'plainer':>9} {'most':>9} | proved, agree")
    print(f"{count:>8} | {said(took)} | {said(plainly)} | {proved}, {agree}")


def hundred() -> None:
    rng = random.Random(8)
    paints = {str(i): Paint(str(i), f"#{rng.randrange(1 << 24):06x}") for i in range(14)}
    specs = []
    for number in range(100):
        colours = [str(rng.randrange(14)) for _ in range(4)]
        layers = (Layer("flood", ("0",)), Layer("spray", tuple(dict.fromkeys(colours[:2])), wait="base_dry"),
                  Layer("spray", tuple(dict.fromkeys(colours[2:]))))  # fmt: skip
        line = LineSpec("l1", "A design", "stencil", 24, layers=layers)
        specs.append(
            OrderSpec(f"o{number}", "", (line,), datetime(2026, 1, 1, tzinfo=UTC) + timedelta(number))
        )
    for name, shop in (
        ("flat", Shop()),
        ("own, first", Shop(paints=paints)),
        ("own, again", Shop(paints=paints)),
    ):
        _, ms = timed(lambda shop=shop: [work_of(spec, shop) for spec in specs])
        print(f"work of 100 sprayed orders, minutes {name}: {ms:.0f} ms")


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    orders(count)
    evenings(count)
    hundred()
