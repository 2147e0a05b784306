"""From an order to its jobs: counts, ids, waits, places, and orders that come in half made."""

from collections import Counter
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.drying import Room, times
from bakery.craft.work import KINDS, STAGES, Layer, Shop, names_of, spares_of

from .makers import NOW, line, order, work


def ids(found, kind=None):
    return [job.id for job in found.jobs if kind is None or job.kind == kind]


def waits(found):
    return {(wait.before, wait.after): wait for wait in found.waits}


def test_spares_are_a_share_and_one_for_each_design():
    assert spares_of(line(quantity=24), Shop()) == 4
    assert spares_of(line(quantity=6, designs=3), Shop()) == 3
    assert spares_of(line(quantity=24, spares=0), Shop()) == 0
    assert work(line(quantity=24)).cut == 28


def test_the_chain_of_a_stencilled_cookie():
    found = work(line("stencil_detail", 24, colours=("bone", "leaf", "ochre")))
    assert ids(found) == [
        "o1.dough.1", "o1.dough.2", "o1.bake.1",
        "o1.l1.flood.1", "o1.l1.flood.2", "o1.l1.spray", "o1.l1.pipe.1", "o1.l1.pipe.2",
        "o1.mix.flood", "o1.mix.detail", "o1.pack", "o1.talk", "o1.washup", "o1.door",
    ]  # fmt: skip
    kinds = {pair: wait.kind for pair, wait in waits(found).items()}
    assert kinds["o1.dough.1", "o1.bake.1"] == "chill"
    assert kinds["o1.bake.1", "o1.l1.flood.1"] == "cool"
    assert kinds["o1.mix.flood", "o1.l1.flood.2"] == "mixed"
    assert kinds["o1.l1.flood.1", "o1.l1.spray"] == "base_dry"
    assert kinds["o1.l1.spray", "o1.l1.pipe.1"] == "mist_dry"
    assert kinds["o1.l1.pipe.2", "o1.pack"] == "dry_through"
    assert found.finish == "o1.pack"
    assert found.bakes == ("o1.bake.1",)


def test_waits_come_from_the_room_and_the_thickness():
    damp, dry = (work(line("stencil"), drying=times(Room(20, h))) for h in (0.6, 0.4))
    pair = ("o1.l1.flood.1", "o1.l1.spray")
    assert waits(damp)[pair].slow_minutes > waits(dry)[pair].slow_minutes > waits(dry)[pair].usual_minutes
    thick = work(
        line(
            "stencil",
            layers=(Layer("flood", ("bone",), thickness_mm=4.0), Layer("spray", ("leaf",), wait="base_dry")),
        )
    )
    assert waits(thick)[pair].usual_minutes == times().wait("base_dry", 4.0).usual


def test_a_stronger_wait_reaches_back_over_a_weaker_layer():
    """Dots may go on firm icing, but the spray over both waits for a dry base too."""
    layers = (
        Layer("flood", ("bone",)),
        Layer("piped", ("ochre",), wait="firm", thickness_mm=1.0),
        Layer("spray", ("leaf",), wait="base_dry"),
    )
    found = waits(work(line(layers=layers, quantity=10)))
    assert found["o1.l1.flood.1", "o1.l1.pipe.1"].kind == "firm"
    assert found["o1.l1.flood.1", "o1.l1.spray"].kind == "base_dry"
    assert found["o1.l1.pipe.1", "o1.l1.spray"].kind == "base_dry"


def test_lettering_counts_the_names_and_leaves_the_spares():
    found = work(line("lettered", 24, names=24))
    assert sum(job.cookies for job in found.jobs if job.kind == "letter") == 24
    assert sum(job.cookies for job in found.jobs if job.kind == "flood") == 28
    one = work(line("lettered", 24, names=1))
    assert sum(job.cookies for job in one.jobs if job.kind == "letter") == 1
    assert names_of(line("lettered", 24, names=25)) == 24


def test_base_colours_share_the_cookies_and_never_a_tray():
    found = work(line("plain", 36, colours=("bone", "sage", "slate")))
    floods = [job for job in found.jobs if job.kind == "flood"]
    assert Counter(job.colours for job in floods) == {("bone",): 1, ("sage",): 1, ("slate",): 1}
    assert [job.cookies for job in floods] == [14, 14, 14]
    assert found.job("o1.mix.flood").colours == ("bone", "sage", "slate")


def test_transfers_are_made_ahead_with_some_to_break():
    layers = (Layer("flood", ("bone",)), Layer("transfer", ("ink",), wait="base_dry"))
    found = work(line(layers=layers, quantity=10, spares=0))
    make = found.job("o1.l1.transfer.make")
    assert make.cookies == 12
    assert waits(found)[make.id, "o1.l1.transfer.1"].usual_minutes == 24 * 60
    assert any(place.after == make.id for place in found.places)


def test_sprays_that_follow_at_once_share_a_run_that_ends_clean():
    one = Layer("spray", ("leaf",), wait="base_dry", stencils=("fern",), placings=1)
    two = Layer("spray", ("bark",), stencils=("frame",), placings=1)
    found = work(line(layers=(Layer("flood", ("bone",)), one, two)))
    runs = [job for job in found.jobs if job.kind == "spray"]
    assert [job.colours for job in runs] == [("leaf", "bark")]
    assert dict(runs[0].uses) == {"airbrush": 1, "stencil/fern": 1, "stencil/frame": 1}
    single = work(line(layers=(Layer("flood", ("bone",)), one)))
    # another placing on 28 cookies, 3 min between the placings, 3 min to change the colour
    assert runs[0].minutes - single.job("o1.l1.spray").minutes == pytest.approx(28 * 0.9 + 6, abs=1)


def test_a_large_run_is_shared_out_so_that_the_rack_holds_its_trays():
    found = work(line("stencil", 140), shop=Shop(rack_places=6))
    runs = [job for job in found.jobs if job.kind == "spray"]
    assert max(job.trays for job in runs) <= 3
    assert sum(job.cookies for job in runs) == 161


def test_dark_colours_may_rest_overnight():
    rests = work(line("plain", colours=("navy",)), shop=Shop(rest_darks=True))
    assert waits(rests)["o1.mix.flood", "o1.l1.flood.1"].slow_minutes == 480
    assert waits(work(line("plain", colours=("navy",))))["o1.mix.flood", "o1.l1.flood.1"].slow_minutes == 0


def test_wet_trays_hold_places_until_handled_or_boxed():
    found = work(line("stencil", 24))
    held = [p for p in found.places if p.after == "o1.l1.flood.1"]
    assert [(p.resource, p.amount, p.until) for p in held] == [("rack", 1, "o1.l1.spray")]
    assert held[0].minutes == times().wait("dry_through").slow + Shop().boxed_within


@pytest.mark.parametrize(
    ("stage", "left"),
    [
        ("nothing", {"dough", "bake", "mix", "flood", "spray", "pipe", "pack"}),
        ("dough", {"bake", "mix", "flood", "spray", "pipe", "pack"}),
        ("baked", {"mix", "flood", "spray", "pipe", "pack"}),
        ("flooded", {"mix", "spray", "pipe", "pack"}),
        ("sprayed", {"mix", "pipe", "pack"}),
        ("decorated", {"pack"}),
        ("packed", set()),
    ],
)
def test_a_half_made_order_drops_the_work_that_is_done(stage, left):
    found = work(line("stencil_detail", 24, colours=3, stage=stage))
    assert {job.kind for job in found.jobs if job.planned} == left
    assert found.finish == "o1.pack"


def test_waits_of_a_half_made_order_still_run_when_their_start_is_known():
    since = NOW - timedelta(hours=3)
    known = work(line("stencil", 24, stage="flooded", stage_at=since))
    assert waits(known)["o1.l1.flood.1", "o1.l1.spray"].kind == "base_dry"
    assert {past.ended for past in known.past if past.job.kind == "flood"} == {since}
    unknown = work(line("stencil", 24, stage="flooded"))
    assert not [pair for pair in waits(unknown) if pair[0].startswith("o1.l1.flood")]


def test_two_lines_at_different_stages_share_only_what_is_left():
    found = work(line("stencil", 24, stage="baked"), line("plain", 12, id="l2"))
    assert sum(job.cookies for job in found.jobs if job.kind == "bake") == 14
    assert {p for job in found.jobs if job.kind == "bake" for p, _ in job.parts} == {"l2"}


def test_door_road_talk_and_washing_up_are_priced_not_planned():
    found = work(line(), way="delivered", travel_minutes=25)
    by_kind = {job.kind: job for job in found.jobs if not job.planned}
    assert set(by_kind) == {"talk", "washup", "door", "drive"}
    assert by_kind["drive"].minutes == 50
    assert found.minutes - found.bench_minutes == sum(job.minutes for job in by_kind.values())


def test_the_way_there_comes_off_the_hand_over_and_the_post_off_the_event():
    due = order().hand_over
    sent = order(way="posted", travel_minutes=20, transit_days=2, event=due + timedelta(days=3))
    assert sent.leaves == due - timedelta(minutes=20)
    assert sent.too_late == due + timedelta(days=1) - timedelta(minutes=20)
    assert order(travel_minutes=20).leaves == due


@st.composite
def lines(draw):
    """Any line a form could let through."""
    return line(
        draw(st.sampled_from(KINDS)),
        draw(st.integers(1, 400)),
        designs=draw(st.integers(1, 6)),
        colours=draw(st.integers(1, 6)),
        stage=draw(st.sampled_from(STAGES)),
        names=draw(st.integers(0, 500)),
        area_cm2=draw(st.floats(4, 200)),
        stage_at=NOW - timedelta(hours=5) if draw(st.booleans()) else None,
    )


@given(lines(), lines(), st.integers(1, 30), st.integers(1, 4))
def test_any_order_gives_whole_jobs_with_stable_ids(one, other, tray, sheets):
    both = (one, replace(other, id="l2"))
    shop = Shop(cookies_per_tray=tray, sheets_in_oven=sheets)
    found = work(*both, shop=shop)
    names = ids(found) + [past.job.id for past in found.past]
    assert len(set(names)) == len(names)
    assert all(0 < job.attended <= job.minutes for job in found.jobs)
    assert {name for wait in found.waits for name in (wait.before, wait.after)} <= set(names)
    assert all(0 <= w.usual_minutes <= w.slow_minutes <= (w.max_minutes or 10**9) for w in found.waits)
    assert all(place.minutes or place.until for place in found.places)
    assert found == work(*both, shop=shop)
    for each in both:
        flooded = sum(
            j.cookies for j in found.jobs if j.line == each.id and j.id.startswith(f"o1.{each.id}.flood.")
        )
        assert flooded in (0, each.quantity + spares_of(each, shop))
    assert sum(found.minutes_by_kind.values()) == found.minutes
