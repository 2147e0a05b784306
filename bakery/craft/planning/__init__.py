"""Planning: problem and plan as data, a checker, a backward pass, a solver (OR-Tools loads when it runs)."""

from .backward import backward_pass
from .plan import Plan, plan_from_json, plan_to_json
from .problem import Blocked, Hold, Lag, Order, Problem, ProblemError, Task, Window
from .reading import problem_from_json, problem_to_json
from .solver import solve
from .verify import measure, verify

__all__ = [
    "Blocked",
    "Hold",
    "Lag",
    "Order",
    "Plan",
    "Problem",
    "ProblemError",
    "Task",
    "Window",
    "backward_pass",
    "measure",
    "plan_from_json",
    "plan_to_json",
    "problem_from_json",
    "problem_to_json",
    "solve",
    "verify",
]
