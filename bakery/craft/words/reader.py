"""Reads a message and says what it understood, from which words, and what it is not sure of."""

import datetime as dt
from dataclasses import dataclass, field

from .counts import read_quantity
from .days import read_days, read_times
from .lists import names_in, read_names, read_some_names
from .looks import read_colours, read_design_words, read_designs, read_kind
from .page import Page, Used
from .things import read_allergies, read_budget, read_event, read_way, read_wording, take_address

__all__ = ["Reading", "names_in", "read"]


@dataclass(frozen=True)
class Reading:
    """What a message says; every field may be empty.

    `kind` is one of the six kinds of cookie, `colours` a count, `allergies` the foods named (("none",) where
    the message says there is no allergy). `name_count` is how many names are wanted, listed or not. `day` and
    `time` are those of the hand-over, `event_day` and `event_time` of the event where both are named.
    `wording` stood in quotes, for the cookies. `vague_time` marks a time read from "evening". `used` are
    the words it rests on, `doubts` sentences for the baker; `cut` says that only the beginning was read.
    """

    quantity: int | None = None
    kind: str | None = None
    design_words: str = ""
    designs: int | None = None
    colours: int | None = None
    colour_names: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    name_count: int | None = None
    day: dt.date | None = None
    time: dt.time | None = None
    vague_time: bool = False
    event: str = ""
    event_day: dt.date | None = None
    event_time: dt.time | None = None
    wording: str = ""
    allergies: tuple[str, ...] = ()
    way: str | None = None
    budget: int | None = None
    used: tuple[Used, ...] = field(default=())
    doubts: tuple[str, ...] = ()
    cut: bool = False

    def words(self, what: str) -> str:
        """The words a field was read from, "" if it was not read."""
        return " … ".join(used.words for used in self.used if used.what == what)


def read(text: str, today: dt.date) -> Reading:
    """What `text` says about an order, seen from `today`. Never raises for any text, of any length.

    Only the first 20,000 characters are read. Days without a year are the nearest to come; 4/5 is the 4th of
    May. What cannot be made out stays empty: a wrong guess costs more than a question.
    """
    text = text if isinstance(text, str) else ""
    page, doubts = Page(text), []
    allergies = read_allergies(page)
    budget = read_budget(page)
    wording = read_wording(page)
    take_address(page)
    day, event_day = read_days(page, today, doubts)
    when, vague, event_time = read_times(page, doubts)
    some = read_some_names(page)
    names, each = read_names(page)
    designs = read_designs(page)
    colours, colour_names, two_tone = read_colours(page)
    event = read_event(page)
    way = read_way(page)
    count = None if isinstance(each, bool) else each
    # One name among many cookies says nothing of the rest.
    kind = read_kind(page, two_tone, bool(names or wording) or each is True or (count or 0) > 1)
    quantity = read_quantity(page, doubts)
    if each is True:
        count = quantity
    if quantity is None and names:
        quantity = len(names)
        doubts.append(f"{len(names)} names are read as {len(names)} cookies.")
    if some and not names:
        doubts.append(f"“{some}”: ask how many names, and which.")
    return Reading(
        quantity=quantity,
        kind=kind,
        design_words=read_design_words(page),
        designs=designs,
        colours=colours,
        colour_names=colour_names,
        names=names,
        name_count=count or len(names) or None,
        day=day,
        time=when,
        vague_time=vague,
        event=event,
        event_day=event_day,
        event_time=event_time,
        wording=wording,
        allergies=allergies,
        way=way,
        budget=budget,
        used=tuple(sorted(page.used, key=lambda used: used.start)),
        doubts=tuple(doubts),
        cut=len(text) > len(page.text),
    )
