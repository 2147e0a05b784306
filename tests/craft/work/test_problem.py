"""From works to a planning problem: padding, rounding, windows, what is blocked, facts, jobs cut in two."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from bakery.craft.drying import Room, times
from bakery.craft.planning import solve, verify
from bakery.craft.work import Calendar, Fact, Layer, Outage, Shop, job_of_task, resources_of

from .makers import HAND_OVER, NOW, TUESDAY, evenings, line, order, problem, work


def by_id(found):
    return {task.id: task for task in found.tasks}


def lags(found):
    return {(lag.before, lag.after): lag for lag in found.lags}


def minute(found, when):
    return int((when - found.origin) / timedelta(minutes=1))


def test_work_is_padded_and_rounded_up_once_the_oven_is_not_padded():
    made = work(line("plain", 24))
    tasks = by_id(problem(made))
    flood, bake = made.job("o1.l1.flood.1"), made.job("o1.bake.1")
    assert (flood.minutes, flood.minutes * 1.15) == (20, pytest.approx(23.0))
    assert tasks[flood.id].minutes == tasks[flood.id].attended == 25
    assert (bake.attended, bake.minutes) == (25, 35)
    assert (tasks[bake.id].attended, tasks[bake.id].minutes) == (30, 40)  # 28.75 by hand, then 10 in the oven


def test_without_padding_minutes_are_only_rounded():
    assert by_id(problem(work(line("plain", 24)), padding=1))["o1.l1.flood.1"].minutes == 20
    with pytest.raises(ValueError, match="Padding"):
        problem(work(), padding=0.9)


def test_bench_work_stays_out_of_the_odd_ten_minutes_of_a_waking_hour():
    """Ten minutes of dots are no job for seven in the morning, but take her hands for ten minutes only."""
    short = work(line("stencil_detail", 6, spares=0))
    dots = by_id(problem(short))["o1.l1.pipe.1"]
    assert (dots.minutes, dots.attended) == (15, 10)
    assert by_id(problem(short, calendar=evenings(waking=False)))["o1.l1.pipe.1"].minutes == 10
    found = problem(short)
    plan = solve(found, deterministic=0.05)
    quick = [(w.start, w.end) for w in found.windows if w.longest is not None]
    assert not [t for t, at in plan.starts.items() if any(a <= at < b for a, b in quick)]


def test_waits_are_those_of_a_slow_night_rounded_up():
    room = times(Room(20, 0.5))
    found = lags(problem(work(line("stencil"), drying=room)))
    slow = room.wait("base_dry").slow
    wait = found["o1.l1.flood.1", "o1.l1.spray"]
    assert slow <= wait.min < slow + 5
    assert wait.min % 5 == 0
    assert wait.max is None
    assert wait.why == "base dry"


def test_the_times_of_an_order():
    made = work(line(), way="delivered", travel_minutes=23, event=HAND_OVER + timedelta(hours=3))
    found = problem(made)
    assert found.origin == TUESDAY
    assert found.now == 17 * 60 + 50
    (due,) = found.orders
    assert due.pickup == minute(found, HAND_OVER) - 25  # 09:37, rounded down
    assert due.event == minute(found, HAND_OVER) + 180 - 25
    assert (due.finish, due.bakes, due.keeps, due.spare) == ("o1.pack", ("o1.bake.1",), 7200, 720)


def test_windows_are_apart_and_waking_hours_give_way_to_sessions():
    found = problem(work())
    first = [(w.start, w.end, w.longest) for w in found.windows[:3]]
    assert first == [(420, 1110, 10), (1110, 1350, None), (1440 + 420, 1440 + 1110, 10)]
    assert all(a.end <= b.start for a, b in zip(found.windows, found.windows[1:], strict=False))


def test_another_time_zone_touches_only_the_edges():
    away = timezone(timedelta(hours=-5))
    made = work(line(), hand_over=HAND_OVER.astimezone(away))
    assert problem(made, now=NOW.astimezone(away)) == problem(work(line()))


def test_washing_up_is_blocked_at_the_end_of_every_session():
    found = problem(work())
    evening = next(w for w in found.windows if w.longest is None)
    assert any(
        b.resource == "hands" and (b.start, b.end) == (evening.end - 15, evening.end) for b in found.blocked
    )
    waking = next(w for w in found.windows if w.longest == 10)
    assert not any(waking.start <= b.start < waking.end and b.resource == "hands" for b in found.blocked)


def test_the_door_and_the_road_take_hands_around_the_hand_over():
    def taken(**rest):
        saturday = TUESDAY + timedelta(days=11, hours=12)
        found = problem(work(line(), hand_over=saturday, **rest))
        at = minute(found, saturday)
        return [(b.start - at, b.end - at) for b in found.blocked if at - 60 <= b.start <= at + 60]

    assert taken() == [(0, 10)]
    assert taken(way="delivered", travel_minutes=20) == [(-20, 30)]


def test_two_doors_at_once_never_take_more_hands_than_there_are():
    saturday = TUESDAY + timedelta(days=11, hours=12)
    works = [work(line(), id=f"o{i}", hand_over=saturday) for i in range(3)]
    found = problem(*works)
    assert all(b.amount == 1 for b in found.blocked if b.resource == "hands")


def test_outages_take_what_they_say():
    calendar = evenings()
    broken = Calendar(calendar.sessions, (Outage("airbrush", 1, NOW, NOW + timedelta(days=2)),))
    found = problem(work(line("stencil")), calendar=broken)
    assert any(b.resource == "airbrush" for b in found.blocked)
    plan = solve(found, deterministic=0.05)
    assert verify(found, plan) == []
    assert plan.starts["o1.l1.spray"] >= minute(found, NOW + timedelta(days=2))


def test_an_outage_of_something_unknown_is_passed_over():
    calendar = Calendar(evenings().sessions, (Outage("moon", 1, NOW, NOW + timedelta(days=2)),))
    assert not [b for b in problem(work(), calendar=calendar).blocked if b.resource == "moon"]


def test_resources_are_those_of_the_kitchen():
    layers = (
        Layer("flood", ("bone",)),
        Layer("spray", ("leaf",), wait="base_dry", stencils=("fern", "frame")),
    )
    shop = Shop(stencil_copies={"fern": 2}, dryer=3)
    made = work(line(layers=layers), shop=shop)
    assert resources_of(shop, [made]) == {
        "oven": 2, "rack": 12, "airbrush": 1, "dryer": 3, "stencil/fern": 2, "stencil/frame": 1,
    }  # fmt: skip


def test_a_job_longer_than_every_window_is_cut_into_the_fewest_equal_parts():
    long = work(line("stencil", 60))
    short = evenings(hours=(19, 20.75), weekdays=(0, 1, 2, 3, 4, 6))
    calendar = Calendar([s for s in short.sessions if (s.end - s.start) < timedelta(hours=3) or s.longest])
    found = problem(long, calendar=calendar)
    parts = [task for task in found.tasks if job_of_task(task.id) == "o1.l1.spray"]
    assert [task.id for task in parts] == ["o1.l1.spray/1of3", "o1.l1.spray/2of3", "o1.l1.spray/3of3"]
    assert len({task.minutes for task in parts}) == 1
    assert parts[0].minutes <= 90
    # two parts would not have fitted, set-up included
    assert (long.job("o1.l1.spray").minutes + 16) / 2 * 1.15 > 90
    between = lags(found)
    assert between["o1.l1.spray/1of3", "o1.l1.spray/2of3"].min == 0
    assert ("o1.l1.flood.1", "o1.l1.spray/1of3") in between
    assert ("o1.l1.spray/3of3", "o1.pack") in between or any(a == "o1.l1.spray/3of3" for a, _ in between)
    assert verify(found, solve(found, deterministic=0.2)) == []


def test_a_job_cut_because_an_evening_shrank_keeps_its_place_on_the_wall_part_after_part():
    long = work(line("stencil", 60))
    whole = problem(long)
    at = NOW + timedelta(days=1, hours=2)
    assert dict(problem(long, wall={"o1.l1.spray": at}).wall) == {"o1.l1.spray": minute(whole, at)}
    short = evenings(hours=(19, 20.75), weekdays=(0, 1, 2, 3, 4, 6))
    calendar = Calendar([s for s in short.sessions if (s.end - s.start) < timedelta(hours=3) or s.longest])
    found = problem(long, calendar=calendar, wall={"o1.l1.spray": at})
    lasts = by_id(found)["o1.l1.spray/1of3"].minutes
    assert dict(found.wall) == {
        f"o1.l1.spray/{k + 1}of3": minute(found, at) + k * lasts for k in range(3)
    }  # fmt: skip
    # The evenings are back: the whole begins where its first part did.
    parts = {f"o1.l1.spray/{k}of3": at + timedelta(hours=k) for k in (1, 2, 3)}
    assert dict(problem(long, wall=parts).wall) == {"o1.l1.spray": minute(whole, at + timedelta(hours=1))}


def test_a_job_cut_in_parts_stays_cut_once_a_part_is_done():
    made = work(line("stencil", 60))
    fact = Fact("o1.l1.spray/1of2", "done", NOW - timedelta(hours=2), 80)
    found = problem(made, facts=[fact])
    assert by_id(found)["o1.l1.spray/1of2"].state == "done"
    assert by_id(found)["o1.l1.spray/2of2"].state == "todo"


def test_facts_keep_their_real_times():
    start = NOW - timedelta(hours=1, minutes=3)
    found = problem(work(line("plain")), facts=[Fact("o1.dough.1", "done", start, 14)])
    task = by_id(found)["o1.dough.1"]
    assert (task.state, task.start, task.minutes) == ("done", minute(found, start), 14)


def test_who_sprays_has_flooded():
    """Nobody logs everything: forerunners of work that has begun are done, and the plan can go on."""
    started = Fact("o1.l1.spray", "running", NOW - timedelta(minutes=20), 80)
    found = problem(work(line("stencil", 24)), facts=[started])
    states = {name: task.state for name, task in by_id(found).items()}
    assert states["o1.l1.flood.1"] == states["o1.bake.1"] == states["o1.mix.flood"] == "done"
    assert states["o1.l1.spray"] == "running"
    assert states["o1.pack"] == "todo"
    assert verify(found, solve(found, deterministic=0.05)) == []


def test_old_dough_does_not_make_the_plan_impossible():
    fact = Fact("o1.dough.1", "done", NOW - timedelta(days=9), 12)
    found = problem(work(line("plain", 12)), facts=[fact])
    assert lags(found)["o1.dough.1", "o1.bake.1"].max is None
    assert solve(found, deterministic=0.05).status != "none"


def test_dough_keeps_three_days_unless_her_evenings_lie_further_apart():
    most_days = evenings(weekdays=(0, 1, 2, 3, 4, 6))
    usual = lags(problem(work(line("plain", 12)), calendar=most_days))["o1.dough.1", "o1.bake.1"]
    assert usual.max == 3 * 1440
    weekly = evenings(weekdays=(), hours=(9, 12))
    rare = lags(problem(work(line("plain", 12)), calendar=weekly))["o1.dough.1", "o1.bake.1"]
    assert rare.max > 7 * 1440


def test_a_half_made_order_goes_on_from_where_it_is():
    since = NOW - timedelta(hours=2)
    found = problem(
        work(line("stencil", 24, stage="flooded", stage_at=since, baked_at=since - timedelta(days=1)))
    )
    tasks = by_id(found)
    assert tasks["o1.l1.flood.1"].state == "done"
    assert tasks["o1.l1.flood.1"].start + tasks["o1.l1.flood.1"].minutes == minute(found, since)
    assert found.orders[0].bakes == ("o1.l1.baked",)
    plan = solve(found, deterministic=0.05)
    assert plan.starts["o1.l1.spray"] >= minute(found, since) + times().wait("base_dry").slow


def test_a_packed_order_has_nothing_left_to_do():
    found = problem(work(line(stage="packed")))
    assert [task.state for task in found.tasks] == ["done"]
    assert found.orders[0].finish == "o1.pack"


def test_the_wall_keeps_only_what_still_exists():
    wall = {"o1.l1.flood.1": NOW + timedelta(hours=1, minutes=2), "gone": NOW}
    found = problem(work(), wall=wall)
    assert dict(found.wall) == {"o1.l1.flood.1": minute(found, NOW) + 65}


def test_a_place_that_lies_a_moment_ahead_is_not_taken_for_the_past():
    """She was quicker, the next job begins in a minute: between two steps of the grid it keeps its place."""
    now = NOW + timedelta(minutes=1)
    found = problem(work(), now=now, wall={"o1.l1.flood.1": now + timedelta(minutes=1)})
    assert found.wall["o1.l1.flood.1"] == found.now


def test_without_orders_there_is_a_problem_without_tasks():
    assert problem().tasks == ()


PLAIN = datetime(2026, 11, 24, 18)


@pytest.mark.parametrize(
    "use",
    [
        lambda: problem(work(), now=PLAIN),
        lambda: Calendar([(PLAIN, PLAIN + timedelta(hours=2), 1, None)]),
        lambda: Fact("o1.pack", "done", PLAIN, 5),
        lambda: order(hand_over=PLAIN),
    ],
)
def test_naive_times_are_refused(use):
    with pytest.raises(ValueError, match="time zone"):
        use()


def test_a_room_that_never_dries_still_gets_a_plan_with_stand_in_waits():
    made = work(
        line("stencil"), drying=times(Room(20, 0.75)), hand_over=datetime(2026, 12, 20, 10, tzinfo=UTC)
    )
    assert any(wait.never for wait in made.waits)
    found = problem(made)
    assert verify(found, solve(found, deterministic=0.05)) == []


@pytest.mark.parametrize("days", [-60_000, -3, 0, 400, 40_000])
def test_a_hand_over_long_past_or_far_away_still_gets_a_plan(days):
    due = TUESDAY + timedelta(days=days, hours=12)
    baked = due - timedelta(days=1)
    made = work(line("plain", 6, stage="baked", stage_at=baked), hand_over=due, event=due)
    found = problem(made, wall={"o1.pack": due})
    plan = solve(found, deterministic=0.05)
    assert verify(found, plan) == []
    assert bool(plan.late) == (days <= 0)


def test_more_trays_than_places_is_lived_with_but_gains_new_work_nothing():
    """Six wet trays stand on four places: a plan must exist, and afterwards there are four places again."""
    since = NOW - timedelta(hours=1)
    shop = Shop(rack_places=4)
    crowd = work(line("plain", 70, stage="flooded", stage_at=since), shop=shop)
    found = problem(crowd, work(line("plain", 24), id="o2", shop=shop))
    assert sum(past.job.kind == "flood" for past in crowd.past) == 6
    assert found.resources["rack"] == 6
    later = [b for b in found.blocked if b.resource == "rack"]
    assert [(b.amount, b.end) for b in later] == [(2, found.horizon)]
    dry = times().wait("dry_through").slow + shop.boxed_within
    assert 0 <= later[0].start - (minute(found, since) + dry) < 5
    assert verify(found, solve(found, deterministic=0.05)) == []


def test_a_rack_that_is_out_while_trays_stand_on_it():
    crowd = work(line("plain", 24, stage="flooded", stage_at=NOW - timedelta(hours=1)))
    broken = Calendar(evenings().sessions, (Outage("rack", 12, NOW, NOW + timedelta(days=1)),))
    found = problem(crowd, calendar=broken)
    assert verify(found, solve(found, deterministic=0.05)) == []
