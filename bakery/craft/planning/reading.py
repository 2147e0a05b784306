"""Problem from and to its JSON form, with a clear sentence for everything that is wrong."""

from __future__ import annotations

from datetime import datetime

from .problem import Blocked, Hold, Lag, Order, Problem, ProblemError, Task, Window

FORMAT = "planning-problem/1"
FAR = 100_000_000  # minutes; nothing sensible lies further away, and sums stay small

WHOLE, WHOLE_OR_NULL, TEXT, TEXT_OR_NULL, FLAG = "whole", "whole?", "text", "text?", "flag"
NAMES, AMOUNTS = "names", "amounts"
REQUIRED = object()

# For each kind of thing: JSON key -> (type, default). The default REQUIRED must be given.
WINDOW = {
    "start": (WHOLE, REQUIRED),
    "end": (WHOLE, REQUIRED),
    "hands": (WHOLE, 1),
    "longest": (WHOLE_OR_NULL, None),
}
BLOCKED = {
    "resource": (TEXT, REQUIRED),
    "amount": (WHOLE, REQUIRED),
    "start": (WHOLE, REQUIRED),
    "end": (WHOLE, REQUIRED),
}
TASK = {
    "id": (TEXT, REQUIRED),
    "kind": (TEXT, REQUIRED),
    "orders": (NAMES, REQUIRED),
    "minutes": (WHOLE, REQUIRED),
    "attended": (WHOLE, REQUIRED),
    "hands": (WHOLE, 1),
    "uses": (AMOUNTS, {}),
    "state": (TEXT, "todo"),
    "start": (WHOLE_OR_NULL, None),
    "pinned": (FLAG, False),
}
LAG = {
    "before": (TEXT, REQUIRED),
    "after": (TEXT, REQUIRED),
    "min": (WHOLE, REQUIRED),
    "max": (WHOLE_OR_NULL, None),
    "why": (TEXT, ""),
}
HOLD = {
    "resource": (TEXT, REQUIRED),
    "amount": (WHOLE, REQUIRED),
    "from": (TEXT, REQUIRED),
    "until": (TEXT_OR_NULL, None),
    "minutes": (WHOLE_OR_NULL, None),
}
ORDER = {
    "id": (TEXT, REQUIRED),
    "pickup": (WHOLE, REQUIRED),
    "event": (WHOLE_OR_NULL, None),
    "finish": (TEXT, REQUIRED),
    "bakes": (NAMES, []),
    "keeps": (WHOLE, 7200),
    "spare": (WHOLE, 720),
    "weight": (WHOLE, 1),
    "soft": (FLAG, False),
}
LISTS = {
    "windows": (WINDOW, Window),
    "blocked": (BLOCKED, Blocked),
    "tasks": (TASK, Task),
    "lags": (LAG, Lag),
    "holds": (HOLD, Hold),
    "orders": (ORDER, Order),
}
NEEDED = ("format", "origin", "step", "now", "horizon", "windows", "tasks", "orders")
ALL_KEYS = {*NEEDED, "resources", "wall", *LISTS}


def problem_from_json(obj) -> Problem:
    """Return the Problem that `obj` (already parsed JSON) describes.

    Raises
    ------
    ProblemError
        with (path, sentence) for every fault found.
    """
    if not isinstance(obj, dict):
        raise ProblemError([("", "a problem is an object with windows, tasks and orders")])
    faults = [(key, "is missing") for key in NEEDED if key not in obj]
    faults += [(str(key), "is not known here") for key in obj if key not in ALL_KEYS]
    if obj.get("format", FORMAT) != FORMAT:
        faults.append(("format", f"must be {FORMAT!r}"))
    values = {name: _thing("", name, WHOLE, obj.get(name, 0), faults) for name in ("step", "now", "horizon")}
    values["origin"] = _origin(obj.get("origin"), faults)
    for name in ("resources", "wall"):
        values[name] = _thing("", name, AMOUNTS, obj.get(name, {}), faults)
    for name, (form, kind) in LISTS.items():
        values[name] = _list(name, form, kind, obj.get(name, []), faults)
    if faults:
        raise ProblemError(faults)
    return Problem(**values)


def _origin(text, faults):
    try:
        found = datetime.fromisoformat(text)
        if not 1900 <= found.year <= 2900:
            raise ValueError("no such plan")
        return found
    except (TypeError, ValueError):
        faults.append(("origin", "must be a date and time such as 2026-03-02T00:00:00+00:00"))
        return None


def _list(name, form, kind, items, faults):
    if not isinstance(items, list):
        faults.append((name, "must be a list"))
        return ()
    found = []
    for i, item in enumerate(items):
        before = len(faults)
        fields = _fields(f"{name}[{i}]", form, item, faults)
        if len(faults) == before:
            found.append(kind(**fields))
    return tuple(found)


def _fields(path, form, item, faults):
    if not isinstance(item, dict):
        faults.append((path, "must be an object"))
        return {}
    faults += [(f"{path}.{key}", "is not known here") for key in item if key not in form]
    fields = {}
    for key, (kind, default) in form.items():
        if key in item:
            value = _thing(path, key, kind, item[key], faults)
        elif default is REQUIRED:
            faults.append((f"{path}.{key}", "is missing"))
            continue
        else:
            value = default
        fields["after" if form is HOLD and key == "from" else key] = value
    return fields


def _thing(path, key, kind, value, faults):
    """Check one value against its type; report and return it."""
    where = f"{path}.{key}" if path else key
    if kind.endswith("?"):
        if value is None:
            return None
        kind = kind[:-1]
    if kind == WHOLE:
        _whole(where, value, faults)
    elif kind == TEXT and not isinstance(value, str):
        faults.append((where, "must be text"))
    elif kind == FLAG and not isinstance(value, bool):
        faults.append((where, "must be true or false"))
    elif kind == NAMES:
        if not isinstance(value, list) or not all(isinstance(name, str) for name in value):
            faults.append((where, "must be a list of names"))
    elif kind == AMOUNTS:
        if not isinstance(value, dict):
            faults.append((where, "must be an object of names and whole numbers"))
        else:
            for name, amount in value.items():
                _whole(f"{where}.{name}", amount, faults)
    return value


def _whole(where, value, faults):
    if not isinstance(value, int) or isinstance(value, bool):
        faults.append((where, "must be a whole number"))
    elif abs(value) > FAR:
        faults.append((where, "is too far away"))


def problem_to_json(problem: Problem) -> dict:
    """Return the JSON form of `problem` as plain dictionaries, lists, text and numbers."""
    answer = {
        "format": FORMAT,
        "origin": problem.origin.isoformat(),
        "step": problem.step,
        "now": problem.now,
        "horizon": problem.horizon,
    }
    for name, (form, _) in LISTS.items():
        answer[name] = [_plain(thing, form) for thing in getattr(problem, name)]
        if name == "windows":
            answer["resources"] = dict(problem.resources)
    answer["wall"] = dict(problem.wall)
    return answer


def _plain(thing, form):
    answer = {}
    for key, (kind, _) in form.items():
        value = getattr(thing, "after" if form is HOLD and key == "from" else key)
        answer[key] = list(value) if kind == NAMES else dict(value) if kind == AMOUNTS else value
    return answer
