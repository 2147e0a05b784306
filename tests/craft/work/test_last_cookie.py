"""When drying begins, and which cookie decides: the tray's last one, and the thickest."""

from datetime import UTC, datetime, timedelta

import pytest

from bakery.craft.drying import DryingTimes
from bakery.craft.work import Calendar, Layer, LineSpec, OrderSpec, Shop, build_problem, work_of

NOW = datetime(2026, 3, 2, 18, tzinfo=UTC)
DUE = NOW + timedelta(days=6)
SPRAY = Layer("spray", ("green",), wait="base_dry")


def order(*layers, quantity=28):
    return OrderSpec(
        "o1", "plaques", (LineSpec("l1", "plaques", "stencil", quantity, spares=0, layers=layers),), DUE
    )


def waits(work, kind):
    return [wait for wait in work.waits if wait.kind == kind]


def test_the_clock_starts_when_the_trays_last_cookie_is_laid():
    """The wait hangs on the end of the tray's own job, not its start, nor the end of the whole run."""
    work = work_of(order(Layer("flood", ("bone",)), SPRAY), Shop(), DryingTimes())
    floods = [job for job in work.jobs if job.kind == "flood"]
    assert len(floods) == 2, "a tray each"
    base = waits(work, "base_dry")
    assert {wait.before for wait in base} == {job.id for job in floods}
    sessions = [(NOW + timedelta(days=day), NOW + timedelta(days=day, hours=5), 1, None) for day in range(6)]
    problem = build_problem([work], Calendar(sessions=sessions, outages=[]), now=NOW)
    slow = DryingTimes().wait("base_dry").slow
    for lag in (one for one in problem.lags if one.why == "base dry"):
        assert lag.before in {job.id for job in floods}
        assert slow <= lag.min < slow + problem.step, "from the end of the tray's job, rounded up once"


@pytest.mark.parametrize("thick", [2.0, 3.5])
def test_the_thickness_of_the_layer_below_decides(thick):
    work = work_of(order(Layer("flood", ("bone",), thickness_mm=thick), SPRAY), Shop(), DryingTimes())
    assert {wait.slow_minutes for wait in waits(work, "base_dry")} == {
        DryingTimes().wait("base_dry", thick).slow
    }


@pytest.mark.parametrize("first", [2.0, 4.0])
def test_of_two_coats_both_must_be_dry_the_slower_decides(first):
    """A thin second coat does not hide that the thick one below is still soft."""
    coats = (
        Layer("flood", ("bone",), thickness_mm=first),
        Layer("flood", ("sage",), wait="crusted", thickness_mm=3.0),
    )
    work = work_of(order(*coats, SPRAY, quantity=14), Shop(), DryingTimes())
    below = {wait.before: wait.slow_minutes for wait in waits(work, "base_dry")}
    times = DryingTimes()
    assert below["o1.l1.flood2.1"] == times.wait("base_dry", 3.0).slow
    assert below["o1.l1.flood.1"] == times.wait("base_dry", first).slow


def test_a_tray_of_two_looks_waits_for_its_own_last_cookie():
    """Spraying starts when the last of all its trays is dry: one wait for each tray."""
    work = work_of(order(Layer("flood", ("bone", "sage")), SPRAY, quantity=40), Shop(), DryingTimes())
    trays = {job.id for job in work.jobs if job.kind == "flood"}
    assert {wait.before for wait in waits(work, "base_dry")} == trays
