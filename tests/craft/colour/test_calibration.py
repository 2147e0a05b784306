"""What swatches teach, on kitchens made up with known truth and noise (seeded)."""

from dataclasses import replace

import numpy as np
import pytest

from bakery.craft.colour.calibration import Swatch, calibrate, nudged, predict, swatches_to_spray
from bakery.craft.colour.layer import Bottle, Fit, lab_of_mix
from bakery.craft.colour.spaces import ciede2000, lab_of_hex, srgb_of_xyz, to_hex, xyz_of_lab

SHELF = [
    Bottle("white", "white", "#fbfaf5", "white"), Bottle("yellow", "yellow", "#f4d03f"),
    Bottle("red", "red", "#c0392b"), Bottle("blue", "blue", "#2050a0"), Bottle("green", "green", "#2e7d4f"),
]  # fmt: skip


class Kitchen:
    """Bottles whose strength differs as the priors say; swatches with the noise of spray and photo."""

    def __init__(self, seed: int):
        self.rng = np.random.default_rng(seed)
        normal = self.rng.standard_normal
        self.truth = [replace(b, fit=Fit(float(0.7 * normal()), tuple(0.4 * normal(3)))) for b in SHELF]
        self.shown = [replace(b, hex=self.spray({b.id: 1})) for b in SHELF]

    def lab(self, drops, coats=1.0):
        used = [b for b in self.truth if drops.get(b.id)]
        return lab_of_mix(used, [drops[b.id] for b in used], coats=coats)

    def seen(self, drops):
        """As the eye meets one spraying of it: another hand's coat, and what no model catches."""
        return self.lab(drops, 1 + 0.08 * self.rng.standard_normal()) + 1.3 * self.rng.standard_normal(3)

    def spray(self, drops):
        return to_hex(srgb_of_xyz(xyz_of_lab(self.seen(drops))))

    def recipe(self):
        while True:
            drops = {b.id: int(self.rng.integers(0, 5)) for b in SHELF}
            if any(drops.values()):
                return {bottle: n for bottle, n in drops.items() if n}

    def swatches(self, count):
        done = []
        for _ in range(count):
            drops = swatches_to_spray(self.shown, done, 1)[0]
            done.append(Swatch(drops, self.spray(drops)))
        return done


def _run(count, seeds, missing=0.0):
    missed, inside = [], []
    for seed in seeds:
        kitchen = Kitchen(seed)
        swatches = [s for s in kitchen.swatches(count) if kitchen.rng.random() >= missing]
        known = calibrate(kitchen.shown, swatches)
        for number in range(12):
            drops = kitchen.recipe()
            said = predict(known, drops, seed=number)
            missed.append(float(ciede2000(np.array(said.lab), kitchen.lab(drops))))
            inside.append(float(ciede2000(np.array(said.lab), kitchen.seen(drops))) <= said.slow)
    return float(np.mean(missed)), float(np.mean(inside))


def test_a_few_planned_swatches_halve_the_error_and_the_band_covers_as_it_says():
    none, _ = _run(0, range(8))
    few, inside_few = _run(5, range(8))
    many, inside_many = _run(10, range(8))
    assert few < 0.65 * none
    assert many < few
    assert 0.80 <= inside_few <= 0.99
    assert 0.80 <= inside_many <= 0.99


def test_with_most_of_the_swatches_lost_it_is_no_worse_than_without_any():
    none, _ = _run(0, range(6))
    some, inside = _run(10, range(6), missing=0.7)
    assert some < none
    assert inside >= 0.78


def test_the_truth_is_found_where_there_is_no_noise():
    truth = replace(SHELF[2], fit=Fit(0.3, (0.2, -0.2, 0.1)))
    own = to_hex(srgb_of_xyz(xyz_of_lab(lab_of_mix([truth], [1]))))
    shown = [SHELF[0], replace(SHELF[2], hex=own)]
    swatches = []
    for drops in ((1, 3), (1, 1), (1, 9), (2, 1)):
        lab = lab_of_mix([SHELF[0], truth], [drops[1], drops[0]])
        swatches.append(Swatch({"red": drops[0], "white": drops[1]}, to_hex(srgb_of_xyz(xyz_of_lab(lab)))))
    before, after = calibrate(shown, []), calibrate(shown, swatches)
    wanted = lab_of_mix([SHELF[0], truth], [5, 1])

    def miss(known):
        return float(ciede2000(np.array(predict(known, {"red": 1, "white": 5}).lab), wanted))

    assert miss(after) < 1.0 < miss(before)
    assert after.rests_on == 4
    assert not after.held_back


def test_bottles_without_a_swatch_stay_as_they_are():
    known = calibrate(SHELF, [Swatch({"red": 1, "white": 3}, "#e8a8a0")])
    fits = {b.id: b.fit for b in known.bottles}
    assert fits["red"].swatches == 1
    assert fits["red"] != Fit()
    assert fits["blue"].swatches == 0
    assert max(abs(v) for v in (fits["blue"].scattering, *fits["blue"].bands)) < 0.02


def test_a_swatch_in_another_light_is_held_back_and_named():
    kitchen = Kitchen(3)
    good = kitchen.swatches(6)
    known = calibrate(kitchen.shown, [*good, Swatch({"yellow": 1, "white": 3}, "#203040")])
    assert known.held_back == (6,)
    assert known.rests_on == 6


def test_more_swatches_make_it_surer():
    kitchen = Kitchen(5)
    swatches = kitchen.swatches(8)
    drops = {"red": 2, "white": 3}
    assert (
        predict(calibrate(kitchen.shown, swatches), drops).slow
        < predict(calibrate(kitchen.shown, []), drops).slow
    )


def test_the_same_seed_gives_the_same_doubt():
    known = calibrate(SHELF, [])
    assert predict(known, {"red": 1}, seed=4) == predict(known, {"red": 1}, seed=4)
    assert predict(known, {"red": 1}).usual <= predict(known, {"red": 1}).slow


def test_a_nudge_asks_past_the_wanted_colour():
    asked = lab_of_hex(nudged("#a07080", "#907080"))
    wanted, measured = lab_of_hex("#a07080"), lab_of_hex("#907080")
    np.testing.assert_allclose(asked - wanted, 0.7 * (wanted - measured), atol=0.6)


def test_first_every_colour_one_to_three_with_white():
    asked = swatches_to_spray(SHELF, count=4)
    assert asked == [{b.id: 1, "white": 3} for b in SHELF[1:]]
    done = [Swatch(drops, "#aaaaaa") for drops in asked]
    following = swatches_to_spray(SHELF, done, 3)
    assert all(len(drops) == 2 and "white" not in drops and set(drops.values()) == {1} for drops in following)


@pytest.mark.parametrize(
    ("drops", "shade", "coats"),
    [({}, "#112233", 1), ({"red": 0}, "#112233", 1), ({"red": 1}, "red", 1), ({"red": 1}, "#112233", 0)],
)
def test_a_swatch_that_is_none_is_said(drops, shade, coats):
    with pytest.raises(ValueError, match=r"\w"):
        Swatch(drops, shade, coats=coats)


def test_a_swatch_of_an_unknown_bottle_is_said():
    with pytest.raises(ValueError, match="not there"):
        calibrate(SHELF, [Swatch({"gold": 1}, "#112233")])
