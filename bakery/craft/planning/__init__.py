"""Planning: problem and plan as data, a checker, a backward pass, a solver (OR-Tools loads when it runs)."""

from .backward import backward_pass
from .changes import changes
from .plan import Plan, plan_from_json, plan_to_json
from .problem import Blocked, Hold, Lag, Order, Problem, ProblemError, Task, Window
from .promise import Promise, promise, promise_to_json
from .reading import problem_from_json, problem_to_json
from .risk import Chances, on_time_chance
from .solver import solve
from .tonight import Stop, TaskVerdict, Tonight, may_stop, stop_to_json, tonight, tonight_to_json
from .verify import measure, verify

__all__ = [
    "Blocked",
    "Chances",
    "Hold",
    "Lag",
    "Order",
    "Plan",
    "Problem",
    "ProblemError",
    "Promise",
    "Stop",
    "Task",
    "TaskVerdict",
    "Tonight",
    "Window",
    "backward_pass",
    "changes",
    "may_stop",
    "measure",
    "on_time_chance",
    "plan_from_json",
    "plan_to_json",
    "problem_from_json",
    "problem_to_json",
    "promise",
    "promise_to_json",
    "solve",
    "stop_to_json",
    "tonight",
    "tonight_to_json",
    "verify",
]
