"""From a room to the waits she plans with."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.drying import WAITS, Bias, DryingTimes, Room, times

ROOMS = st.builds(Room, st.floats(15, 28), st.floats(0.2, 0.69), st.booleans())


def test_the_default_room_dries_overnight():
    usual = times().wait("base_dry")
    assert usual.usual / 60 == pytest.approx(12.4, abs=0.1)
    assert 1.5 < usual.slow / usual.usual < 1.6
    assert not usual.never


@given(ROOMS, st.floats(1, 4), st.sampled_from(["still", "fan", "dryer"]))
def test_a_slow_night_is_longer_than_a_usual_one_and_waits_keep_their_order(room, thickness, air):
    waits = times(room, thickness, air).waits
    assert set(waits) == set(WAITS)
    assert all(span.usual <= span.slow for span in waits.values())
    in_order = [waits[kind].usual for kind in ("outline_set", "crusted", "firm", "base_dry", "wafer_dry")]
    assert in_order == sorted(in_order)
    assert waits["base_dry"].usual <= waits["dry_through"].usual


def test_a_damp_room_never_dries_and_says_so():
    found = times(Room(20, 0.74))
    assert found.never
    assert found.room.never
    assert found.room.slow
    assert found.wait("dry_through").never
    assert not found.wait("crusted").never  # it crusts all the same


def test_between_65_and_70_percent_it_is_too_slow_to_promise():
    assert Room(20, 0.66).slow
    assert not Room(20, 0.66).never
    assert not Room(20, 0.60).slow


def test_a_hasty_hand_may_stencil_earlier():
    assert times(careful=False).wait("base_dry").usual < times().wait("base_dry").usual
    assert times(careful=False).wait("dry_through") == times().wait("dry_through")


def test_a_measured_room_is_surer():
    guessed, measured = (times(Room(20.5, 0.5, known)).wait("base_dry") for known in (False, True))
    assert guessed.usual == measured.usual
    assert guessed.slow > measured.slow


def test_what_her_logs_say_moves_and_narrows_the_times():
    plain = times().wait("base_dry")
    slower = times(bias=Bias(mean=0.2, variance=0.1**2)).wait("base_dry")
    assert slower.usual == pytest.approx(plain.usual * 1.2214, rel=0.01)
    assert slower.slow / slower.usual < plain.slow / plain.usual


def test_another_thickness_of_the_same_room():
    found = times(Room(19, 0.55), 2.0, "fan")
    assert found.wait("base_dry", 4.0) == times(Room(19, 0.55), 4.0, "fan").wait("base_dry")
    assert found.at(2.0) is found
    assert isinstance(found, DryingTimes)


def test_a_sprayed_colour_is_dry_to_the_touch_within_minutes():
    assert times(Room(18, 0.65)).wait("mist_dry").slow == 30


def test_an_unknown_air_is_refused():
    with pytest.raises(ValueError, match="no air"):
        times(air="hair dryer")
