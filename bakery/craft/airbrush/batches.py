"""Colour by colour, or so many cookies at a time with the stencil left in place: which costs less.

Plain counting. With N cookies, m colours, p minutes to place the stencil, s minutes to spray one colour, F
the changes of one round in the best order and r the change from the last colour back to the first:
colour by colour costs N m (p + s) + F; k at a time costs N p + N m s + F + (ceil(N / k) - 1)(F + r).
"""

from dataclasses import dataclass
from math import ceil, inf

__all__ = ["Ways", "break_even", "ways_of"]


@dataclass(frozen=True)
class Ways:
    """Minutes of both ways, cleaning included, and how many cookies at a time make them equal."""

    by_colour: float
    in_place: float
    at_a_time: int
    break_even: float

    @property
    def leave_in_place(self) -> bool:
        """True when leaving the stencils in place saves time."""
        return self.in_place < self.by_colour


def break_even(cookies: int, colours: int, placing: float, round_trip: float) -> float:
    """Cookies at a time above which leaving the stencil in place pays; infinite where placing costs nothing.

    `placing` minutes to lay the stencil on one cookie, `round_trip` minutes of one round of changes and back.
    """
    _check(cookies, colours, placing, round_trip)
    gain = (colours - 1) * placing
    if gain == 0:
        return inf if round_trip else 0.0
    return cookies / (1 + cookies * gain / round_trip) if round_trip else 0.0


def ways_of(
    cookies: int, colours: int, placing: float, spraying: float, changes: float, back: float, at_a_time: int
) -> Ways:
    """Both ways, `at_a_time` cookies under their stencils at once. Raises ValueError below nothing."""
    _check(cookies, colours, placing, spraying, changes, back)
    if at_a_time < 1:
        raise ValueError("At least one cookie is under a stencil.")
    rounds = ceil(cookies / at_a_time)
    by_colour = cookies * colours * (placing + spraying) + changes
    in_place = cookies * placing + cookies * colours * spraying + changes + (rounds - 1) * (changes + back)
    return Ways(by_colour, in_place, at_a_time, break_even(cookies, colours, placing, changes + back))


def _check(cookies: int, colours: int, *minutes: float) -> None:
    if cookies < 1 or colours < 1 or any(not 0 <= each < inf for each in minutes):
        raise ValueError("A run has cookies, colours, and no negative minutes.")
