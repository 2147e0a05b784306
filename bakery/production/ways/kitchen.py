"""The kitchen an order is asked into, read once; any number of changed orders can be tried in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bakery.craft.planning import verify
from bakery.orders.adapters import spec_of
from bakery.orders.data import OrderData
from bakery.studio.queries import the_studio

from .. import adapters
from ..also import NOTHING, Also
from ..asking import fail_without, softened
from ..scene import Scene, works_for


@dataclass(frozen=True)
class Fit:
    """A change under which everyone is on time, with the problem and the checked plan that show it."""

    data: OrderData
    also: Also
    spare: int
    problem: object
    plan: object


@dataclass(frozen=True)
class Kitchen:
    """All that is booked, and the order asked about. `failing` are booked orders that fail by themselves."""

    scene: Scene
    data: OrderData
    also: Also
    order: object = None
    failing: tuple[str, ...] = ()
    numbers: tuple[str, ...] = ()

    @classmethod
    def read(cls, data: OrderData, *, now, order=None, also: Also = NOTHING, failing=None) -> Kitchen:
        """What the rows say, with the order as it is asked for; None when nobody knows yet what fails."""
        without = (order.key,) if order is not None else ()
        scene = adapters.scene(now=now, extra=spec_of(data, order=order), without=without, hours=also.hours())
        failing = fail_without(now=now, order=order) if failing is None else failing
        known = tuple(name for name in failing if name in scene.works and name not in without)
        return cls(scene, data, also, order, known)

    @property
    def now(self):
        return self.scene.now

    def problem(self, data: OrderData, also: Also | None = None):
        """(Problem, id of the order) with the order like `data`, counting on `also`."""
        also = self.also if also is None else also
        spec, scene = spec_of(data, order=self.order), self.scene
        works = works_for([spec], scene.shop, list(scene.rows), scene.now)
        works = also.dried(works, spec.id, scene.shop, scene.facts, scene.now)
        scene = replace(scene, works={**scene.works, **works})
        if also != self.also:
            specs = [work.order for work in scene.works.values()]
            scene = replace(
                scene, calendar=adapters.calendar_for(specs, the_studio(), scene.now, also.hours())
            )
        problem, _, _ = scene.problem(also.together(scene.shares))
        return softened(problem, self.failing), spec.id

    def tight(self) -> tuple[datetime, datetime, timedelta] | None:
        """The stretch in which hands are missing for the order as asked, and how much; where there is one."""
        from bakery.craft.planning import limits
        from bakery.craft.planning.certificate import reason_for_no
        from bakery.craft.planning.grid import Grid

        problem, _ = self.problem(self.data)
        grid = Grid(problem)
        why = reason_for_no(grid, *limits.on_time(grid)) or {}
        if why.get("resource") != "hands":
            return None
        start, end = (problem.origin + timedelta(minutes=why[name]) for name in ("from", "to"))
        return start, end, timedelta(minutes=why["needed"] - why["available"])

    def fits(self, data: OrderData, also: Also | None = None, *, seconds: float = 0.35) -> Fit | None:
        """The change with its checked plan, or None when there is none or none was found in time."""
        from bakery.craft.planning import ProblemError, promise
        from bakery.craft.planning.clock import Clock
        from bakery.craft.planning.grid import Grid
        from bakery.craft.planning.promise import answer_for

        try:
            problem, name = self.problem(data, also)
            answer, plan, _ = answer_for(Grid(problem), Clock(seconds))
            hard = {one.id for one in problem.orders if not one.soft}
            if answer != "yes" or verify(problem, plan) or hard.intersection(plan.late):
                return None
            spare = promise(problem, name, plan=plan, seconds=seconds, earliest=False).spare_minutes
        except (ProblemError, ValueError, KeyError, MemoryError):
            return None
        return Fit(data, self.also if also is None else also, spare or 0, problem, plan)
