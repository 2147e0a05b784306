"""Reads project-scheduling instances (PSPLIB single-mode form) as planning problems."""

from __future__ import annotations

import csv
from datetime import UTC, datetime
from pathlib import Path

from bakery.craft.planning import Lag, Order, Problem, Task, Window

FOLDER = Path(__file__).parent / "data" / "rcpsp"


def published():
    """Rows of the table of makespans, by file name."""
    with open(FOLDER / "rcpsp_makespans.csv", newline="") as file:
        return {row["file"]: row for row in csv.DictReader(file)}


def read(name):
    """Return (durations, successors, uses, capacities) of an instance; activities count from 1."""
    lines = (FOLDER / name).read_text().splitlines()

    def rows_after(title, skip):
        at = next(k for k, line in enumerate(lines) if line.startswith(title)) + skip
        for line in lines[at:]:
            numbers = line.split()
            if not numbers or not numbers[0].isdigit():
                return
            yield [int(number) for number in numbers]

    successors = {row[0]: row[3:] for row in rows_after("PRECEDENCE RELATIONS", 2)}
    rows = list(rows_after("REQUESTS/DURATIONS", 3))
    durations = {row[0]: row[2] for row in rows}
    uses = {row[0]: row[3:] for row in rows}
    capacities = next(rows_after("RESOURCEAVAILABILITIES", 2))
    return durations, successors, uses, capacities


def as_problem(name):
    """The instance as a planning problem: one long window, no hands needed, one order due at once.

    Its least lateness is the least makespan. The dummy start and end have no duration and are left out;
    a last task of one step waits for all others, so lateness is makespan + 1.
    """
    durations, successors, uses, capacities = read(name)
    real = [k for k, length in durations.items() if length]
    horizon = sum(durations.values()) + 1
    tasks = [
        Task(
            str(k),
            "activity",
            ("project",),
            durations[k],
            0,
            1,
            {f"R{r}": amount for r, amount in enumerate(uses[k], 1) if amount},
        )
        for k in real
    ]
    tasks.append(Task("end", "end", ("project",), 1, 0))
    lags = [Lag(str(k), str(j), 0) for k in real for j in successors[k] if j in real]
    lags += [Lag(str(k), "end", 0) for k in real]
    resources = {f"R{r}": amount for r, amount in enumerate(capacities, 1)}
    order = Order("project", 0, None, "end", spare=0)
    window = Window(0, horizon)
    origin = datetime(2026, 1, 1, tzinfo=UTC)
    return Problem(origin, 1, 0, horizon, (window,), resources, (), tasks, lags, (), (order,))
