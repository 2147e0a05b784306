"""What the picture of a week is drawn from: plain values, times with their zone."""

from dataclasses import dataclass
from datetime import datetime

from .mist import USUAL


@dataclass(frozen=True)
class Session:
    """Baking hours: drawn wide. label "Tue 24", hours "18:30 to 22:30"; href: where its head leads."""

    start: datetime
    end: datetime
    label: str = ""
    hours: str = ""
    href: str = ""


@dataclass(frozen=True)
class Work:
    """A run in the hands of "you" or the "helper". second: a second line of words. bare: washing up.
    href: where the block leads; why: what is fetched when it has focus.
    """

    start: datetime
    end: datetime
    label: str
    second: str = ""
    picked: bool = False
    bare: bool = False
    who: str = "you"
    title: str = ""
    href: str = ""
    why: str = ""


@dataclass(frozen=True)
class Piece:
    """What a tray does on its place. kind: work, mist (drying, to its bar) or wait (dry, waiting for her).
    beyond: it goes on past the picture, so no bar says that it is dry.
    """

    kind: str
    start: datetime
    end: datetime
    share: tuple[float, ...] = USUAL
    title: str = ""
    beyond: bool = False


@dataclass(frozen=True)
class Stay:
    """A tray on one rack place (counted from 0)."""

    place: int
    pieces: tuple[Piece, ...]
    picked: bool = False


@dataclass(frozen=True)
class Spell:
    """The oven or the airbrush in use; colours draws a block for each, words stand beside it."""

    start: datetime
    end: datetime
    words: str = ""
    colours: tuple[str, ...] = ()
    title: str = ""


@dataclass(frozen=True)
class Outage:
    """A tool that is out. row: oven, airbrush or rack."""

    row: str
    start: datetime
    end: datetime
    words: str


@dataclass(frozen=True)
class HandOver:
    """A hand-over. words "118  15:00"; soft is dashed; late ("late 3 h 25") gets the cross and a double
    border.
    """

    at: datetime
    words: str
    picked: bool = False
    soft: bool = False
    late: str = ""


@dataclass(frozen=True)
class Week:
    """All of it. places: how many rack places; helper: whether a second pair of hands has a row. wide_px,
    narrow_px: pixels of a baking hour and of any other.
    """

    start: datetime
    end: datetime
    sessions: tuple[Session, ...]
    work: tuple[Work, ...] = ()
    stays: tuple[Stay, ...] = ()
    places: int = 12
    oven: tuple[Spell, ...] = ()
    airbrush: tuple[Spell, ...] = ()
    outages: tuple[Outage, ...] = ()
    hand_overs: tuple[HandOver, ...] = ()
    helper: bool = False
    helper_sessions: tuple[Session, ...] = ()
    title: str = ""
    wide_px: float = 43
    narrow_px: float = 3
