"""The verbs of the command line: a problem (or a problem and its plan) in, the answer as JSON out."""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter

from .plan import plan_from_json, plan_to_json
from .problem import ProblemError
from .promise import promise, promise_to_json
from .reading import problem_from_json
from .solver import solve
from .tonight import latest_starts, may_stop, stop_to_json, tonight, tonight_to_json
from .verify import measure, verify

VERBS = ("check", "solve", "tonight", "latest", "promise", "stop")
SECONDS = {"solve": 10.0, "tonight": 5.0, "latest": 20.0, "promise": 5.0, "stop": 2.0}


def main(arguments, *, read=None, out=None, err=None) -> int:
    """Run one command. Return 0, 1 (the plan is not good), or 2 (the input makes no sense)."""
    out, err = out or sys.stdout, err or sys.stderr
    options = _parser().parse_args(arguments)
    try:
        problem, plan = read_pair((read or _read)(options.file))
        answer, code = _run(options, problem, plan)
    except ProblemError as error:
        for path, sentence in error.faults[:20]:
            print(f"{path}: {sentence}" if path else sentence, file=err)
        if len(error.faults) > 20:
            print(f"and {len(error.faults) - 20} more", file=err)
        return 2
    print(json.dumps(answer, indent=1), file=out)
    return code


def _parser():
    parser = argparse.ArgumentParser(
        prog="python -m bakery.craft.planning",
        description="Check planning problems and answer questions about them; the form is in DEVELOPERS.md.",
    )
    parser.add_argument("verb", choices=VERBS)
    parser.add_argument("file", help="a problem, or a problem and its plan, as JSON; - reads standard input")
    parser.add_argument("--seconds", type=_seconds, help="most seconds to take")
    parser.add_argument(
        "--until", type=int, metavar="MINUTE", help="end of tonight, minutes after the origin"
    )
    parser.add_argument("--order", help="the order to promise; by default the last one")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2, choices=range(1, 65), metavar="N")
    return parser


def _seconds(text):
    value = float(text)
    if not 0 < value <= 86_400:
        raise argparse.ArgumentTypeError("must be more than 0 and at most 86400")
    return value


def _read(name):
    try:
        if name == "-":
            return sys.stdin.buffer.read()
        with open(name, "rb") as file:
            return file.read()
    except OSError as error:
        raise ProblemError([("", f"cannot read {name}: {error.strerror}")]) from None


def _once(pairs):
    """An object of which every name stands once: of two values, nobody could say which was meant."""
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = Counter(name for name, _ in pairs).most_common(1)[0][0]
        raise ProblemError([("", f"an object holds {twice[:60]!r} more than once")])
    return found


def read_pair(text):
    """Return (problem, plan or None) from JSON text: a problem, or {"problem": ..., "plan": ...}."""
    try:
        obj = json.loads(text, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise ProblemError([("", f"this is not JSON: {error}")]) from None
    if isinstance(obj, dict) and "problem" in obj:
        plan = obj.get("plan")
        return problem_from_json(obj["problem"]), None if plan is None else plan_from_json(plan)
    return problem_from_json(obj), None


def _run(options, problem, plan):
    seconds = options.seconds or SECONDS.get(options.verb)
    common = {"seconds": seconds, "seed": options.seed % 2**31, "workers": options.workers}
    if options.verb == "check":
        return _check(problem, plan)
    if options.verb == "solve":
        return plan_to_json(solve(problem, hint=plan, **common)), 0
    if options.verb == "stop":
        return stop_to_json(may_stop(problem, plan=plan, until=options.until, **common)), 0
    if options.verb == "tonight":
        return tonight_to_json(tonight(problem, plan=plan, until=options.until, **common)), 0
    if options.verb == "latest":
        answer = tonight_to_json(latest_starts(problem, plan=plan, until=options.until, **common))
        for one in answer["tasks"].values():
            one["proved"] = one["latest_start"] is not None
            del one["verdict"]
        return {"until": answer["until"], "tasks": answer["tasks"]}, 0
    known = {order.id for order in problem.orders}
    if options.order is not None and options.order not in known:
        raise ProblemError([("--order", f"there is no order called {options.order!r}")])
    return promise_to_json(promise(problem, options.order, plan=plan, look_for=seconds, **common)), 0


def _check(problem, plan):
    if plan is None:
        return {"good": True, "tasks": len(problem.tasks), "orders": len(problem.orders)}, 0
    broken = verify(problem, plan)
    answer = {"good": not broken, "broken": broken}
    if not broken:
        answer |= {name: value for name, value in measure(problem, plan).items() if name != "soft"}
    return answer, 1 if broken else 0
