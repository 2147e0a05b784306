"""JSON form: there and back, every fault named, and the command line never falls over."""

import copy
import io
import json
import subprocess
import sys

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bakery.craft.planning import (
    Plan,
    Problem,
    ProblemError,
    backward_pass,
    plan_from_json,
    plan_to_json,
    problem_from_json,
    problem_to_json,
)
from bakery.craft.planning.commands import VERBS, main, read_pair

from .makers import studio, tiny

CONTRACT = {
    "format": "planning-problem/1",
    "origin": "2026-03-02T00:00:00+00:00",
    "step": 5,
    "now": 2460,
    "horizon": 60480,
    "windows": [{"start": 3960, "end": 4200, "hands": 1, "longest": None}, {"start": 5400, "end": 5700}],
    "resources": {"oven": 2, "rack": 10, "airbrush": 1},
    "blocked": [{"resource": "airbrush", "amount": 1, "start": 4000, "end": 4005}],
    "tasks": [
        {
            "id": "o12.flood.1",
            "kind": "flood",
            "orders": ["o12"],
            "minutes": 40,
            "attended": 40,
            "hands": 1,
            "uses": {},
            "state": "todo",
            "start": None,
            "pinned": False,
        },
        {"id": "o12.pack", "kind": "pack", "orders": ["o12"], "minutes": 30, "attended": 30},
    ],
    "lags": [
        {"before": "o12.flood.1", "after": "o12.pack", "min": 720, "max": None, "why": "flood coat dry"}
    ],
    "holds": [
        {"resource": "rack", "amount": 1, "from": "o12.flood.1", "until": "o12.pack"},
        {"resource": "rack", "amount": 2, "from": "o12.flood.1", "minutes": 60},
    ],
    "orders": [{"id": "o12", "pickup": 9000, "event": 9360, "finish": "o12.pack", "bakes": [], "weight": 1}],
    "wall": {"o12.flood.1": 4000},
}


def changed(path, value):
    """The contract's example with one thing changed at a path like "tasks.0.minutes"; ... removes it."""
    obj = copy.deepcopy(CONTRACT)
    *parents, last = [int(part) if part.isdigit() else part for part in path.split(".")]
    place = obj
    for part in parents:
        place = place[part]
    if value is ...:
        del place[last]
    else:
        place[last] = value
    return obj


def run(verb, text, *more):
    out, err = io.StringIO(), io.StringIO()
    text = text if isinstance(text, bytes | str) else json.dumps(text)
    code = main(
        [verb, "-", "--seconds", "0.2", "--workers", "1", *more], read=lambda _: text, out=out, err=err
    )
    return code, out.getvalue(), err.getvalue()


def test_the_contracts_example_goes_there_and_back():
    made = problem_from_json(CONTRACT)
    assert made.holds[0].after == "o12.flood.1"
    assert problem_from_json(json.loads(json.dumps(problem_to_json(made)))) == made


@pytest.mark.parametrize("seed", range(20))
def test_any_problem_goes_there_and_back(seed):
    made = tiny(seed)
    assert problem_from_json(json.loads(json.dumps(problem_to_json(made)))) == made


def test_a_plan_goes_there_and_back():
    plan = backward_pass(problem_from_json(CONTRACT))
    assert plan_from_json(json.loads(json.dumps(plan_to_json(plan)))) == plan
    assert plan_to_json(None) is None


@pytest.mark.parametrize(
    ("path", "value", "where", "words"),
    [
        ("format", "planning-problem/2", "format", "must be"),
        ("origin", "2026-03-02T00:00:00", "origin", "time zone"),
        ("origin", "yesterday", "origin", "date and time"),
        ("origin", 7, "origin", "date and time"),
        ("origin", "0001-01-01T00:00:00+14:00", "origin", "date and time"),
        ("origin", "9999-12-31T23:00:00-14:00", "origin", "date and time"),
        ("step", 0, "step", "at least 1"),
        ("step", 2.5, "step", "whole number"),
        ("now", True, "now", "whole number"),
        ("now", 2461, "now", "multiple of 5"),
        ("now", -5, "now", "before the origin"),
        ("now", 60485, "now", "after the horizon"),
        ("horizon", 10**9, "horizon", "far away"),
        ("horizon", ..., "horizon", "missing"),
        ("colour", "navy", "colour", "not known"),
        ("windows", {}, "windows", "list"),
        ("windows.0", 5, "windows[0]", "object"),
        ("windows.0.end", 3960, "windows[0]", "ends before it starts"),
        ("windows.0.start", 3961, "windows[0].start", "multiple of 5"),
        ("windows.1.start", 4195, "windows[1]", "overlaps"),
        ("windows.0.hands", -1, "windows[0].hands", "less than none"),
        ("windows.0.longest", 0, "windows[0].longest", "null or at least"),
        ("resources.hands", 1, "resources.hands", "belong to the windows"),
        ("resources.oven", -1, "resources.oven", "less than none"),
        ("resources.oven", "two", "resources.oven", "whole number"),
        ("blocked.0.resource", "dryer", "blocked[0].resource", "no resource called 'dryer'"),
        ("blocked.0.end", 4000, "blocked[0]", "ends before"),
        ("tasks.1.id", "o12.flood.1", "tasks", "2 times"),
        ("tasks.0.minutes", 0, "tasks[0].minutes", "more than nothing"),
        ("tasks.0.minutes", 42, "tasks[0].minutes", "multiple of 5"),
        ("tasks.0.attended", 45, "tasks[0].attended", "between nothing"),
        ("tasks.0.state", "begun", "tasks[0].state", "todo, running, done"),
        ("tasks.0.state", "done", "tasks[0].start", "is needed"),
        ("tasks.0.pinned", True, "tasks[0].start", "is needed"),
        ("tasks.0.pinned", "yes", "tasks[0].pinned", "true or false"),
        ("tasks.0.orders", "o12", "tasks[0].orders", "list of names"),
        ("tasks.0.orders", ["o13"], "tasks[0].orders", "no order called 'o13'"),
        ("tasks.0.uses", {"kiln": 1}, "tasks[0].uses", "no resource called 'kiln'"),
        ("tasks.0.kind", ..., "tasks[0].kind", "missing"),
        ("lags.0.before", "o12.sand", "lags[0].before", "no task called 'o12.sand'"),
        ("lags.0.after", "o12.flood.1", "lags[0]", "wait for itself"),
        ("lags.0.min", -5, "lags[0].min", "less than nothing"),
        ("lags.0.max", 700, "lags[0].max", "less than the least wait"),
        ("holds.0.until", ..., "holds[0]", "minutes, until, or both"),
        ("holds.0.resource", "shelf", "holds[0].resource", "no resource"),
        ("holds.0.from", "nothing", "holds[0].from", "no task"),
        ("orders.0.finish", "o12.wrap", "orders[0].finish", "no task"),
        ("orders.0.bakes", ["o12.bake"], "orders[0].bakes", "no task"),
        ("orders.0.weight", -1, "orders[0].weight", "less than nothing"),
        ("orders.0.pickup", 9001, "orders[0].pickup", "multiple of 5"),
    ],
)
def test_each_fault_is_named_at_its_place(path, value, where, words):
    with pytest.raises(ProblemError) as caught:
        problem_from_json(changed(path, value))
    assert any(place == where and words in sentence for place, sentence in caught.value.faults), caught.value
    code, out, err = run("check", changed(path, value))
    assert (code, out) == (2, "")
    assert words in err


def test_waits_in_a_circle_are_refused():
    round_about = changed(
        "lags", [*CONTRACT["lags"], {"before": "o12.pack", "after": "o12.flood.1", "min": 0}]
    )
    with pytest.raises(ProblemError, match="circle"):
        problem_from_json(round_about)


def test_all_faults_are_listed_at_once():
    twice = changed("tasks.0.minutes", "long")
    twice["lags"][0]["min"] = None
    with pytest.raises(ProblemError) as caught:
        problem_from_json(twice)
    assert [place for place, _ in caught.value.faults] == ["tasks[0].minutes", "lags[0].min"]
    assert caught.value.path == "tasks[0].minutes"


def test_facts_may_lie_between_the_steps():
    done = changed(
        "tasks.0", {**CONTRACT["tasks"][0], "state": "done", "start": 2411, "minutes": 38, "attended": 38}
    )
    assert problem_from_json(done).tasks[0].start == 2411


@pytest.mark.parametrize(
    "text", [b"", b"{", b"\xff\xfe\x00", b"nope", b"[" * 100_000, b"NaN", b"[]", b"{}", b'"x"']
)
def test_nonsense_gets_a_sentence(text):
    code, out, err = run("solve", text)
    assert (code, out) == (2, "")
    assert len(err.strip().splitlines()[0]) > 5


def test_a_bad_plan_is_told_apart_from_a_bad_file():
    plan = plan_to_json(backward_pass(problem_from_json(CONTRACT)))
    assert run("check", {"problem": CONTRACT, "plan": plan})[0] == 0
    plan["starts"]["o12.pack"] = 0
    code, out, _ = run("check", {"problem": CONTRACT, "plan": plan})
    assert code == 1
    assert not json.loads(out)["good"]
    code, _, err = run("check", {"problem": CONTRACT, "plan": {"starts": {"o12.pack": "soon"}}})
    assert code == 2
    assert "plan.starts.o12.pack" in err


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_keeps_the_contract(verb):
    code, out, err = run(verb, CONTRACT)
    assert (code, err) == (0, "")
    answer = json.loads(out)
    if verb == "solve":
        assert set(answer) == {"format", "starts", "status", "objective", "bound", "late", "seconds"}
        assert answer["status"] == "best"
    elif verb == "tonight":
        assert set(answer) == {"until", "tasks", "least_minutes"}
        assert answer["tasks"]["o12.flood.1"].keys() == {"verdict", "latest_start", "proved", "because"}
    elif verb == "latest":
        # pack by 5700 and dry 720 before it: the flood coat can be no later than 4160, the window's end.
        assert answer["tasks"]["o12.flood.1"]["latest_start"] == 4160
    elif verb == "promise":
        assert answer["answer"] == "yes"
        assert answer["plan"]["late"] == {}
    elif verb == "stop":
        assert answer == {"answer": "no", "plan": None}


def test_an_unknown_order_and_a_missing_file_get_a_sentence():
    code, _, err = run("promise", CONTRACT, "--order", "o99")
    assert (code, "no order called 'o99'" in err) == (2, True)
    done = subprocess.run(
        [sys.executable, "-m", "bakery.craft.planning", "check", "/nowhere/at all.json"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.startswith("cannot read /nowhere")


def test_planning_is_imported_without_the_solver():
    code = "import sys, bakery.craft.planning; sys.exit('ortools' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


JUNK = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**12), 10**12),
    st.floats(),
    st.text(max_size=5),
    st.lists(st.integers(), max_size=2),
    st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
)


def places(obj, path=()):
    yield path
    items = obj.items() if isinstance(obj, dict) else enumerate(obj) if isinstance(obj, list) else ()
    for key, value in items:
        yield from places(value, (*path, key))


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(
    st.data(),
    st.sampled_from([CONTRACT, *(problem_to_json(tiny(seed)) for seed in range(8))]),
    st.sampled_from(VERBS),
    st.lists(JUNK, min_size=1, max_size=2),
)
def test_no_change_to_a_file_brings_the_command_down(data, example, verb, values):
    obj = copy.deepcopy(example)
    for value in values:
        path = data.draw(st.sampled_from(list(places(obj))))
        if not path:
            obj = value
            break
        place = obj
        for part in path[:-1]:
            place = place[part]
        place[path[-1]] = value
        if not isinstance(obj, dict | list):
            break
    code, out, err = run(verb, obj)
    assert code in (0, 1, 2)
    assert bool(out) != bool(err)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.sampled_from(VERBS), st.binary(max_size=80))
def test_no_bytes_bring_the_command_down(verb, text):
    code, _, err = run(verb, text)
    assert (code, bool(err)) == (2, True)


def test_data_is_frozen():
    made = problem_from_json(CONTRACT)
    with pytest.raises(AttributeError):
        made.now = 5
    with pytest.raises(TypeError):
        made.resources["oven"] = 9
    with pytest.raises(TypeError):
        Plan({}).starts["a"] = 1
    assert isinstance(studio(5), Problem)


@pytest.mark.parametrize("text", ['{"now": 5, "now": 60}', '{"wall": {"a": 5, "b": 1, "a": 9}}'])
def test_a_name_that_stands_twice_is_refused(text):
    """Which of the two was meant, nobody could say."""
    with pytest.raises(ProblemError, match="more than once"):
        read_pair(text)
