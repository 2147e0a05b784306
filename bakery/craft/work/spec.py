"""What the work is worked out from: layers, lines, orders and the shop itself."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING

from ..drying import DryingTimes

if TYPE_CHECKING:
    from ..airbrush import Cleaning, Paint

__all__ = [
    "KINDS",
    "LAYER_KINDS",
    "STAGES",
    "WAYS",
    "DryingTimes",
    "Layer",
    "LineSpec",
    "OrderSpec",
    "Pack",
    "Shop",
]

LAYER_KINDS = ("flood", "spray", "icing_pass", "piped", "lettering", "transfer", "wafer", "brush")
WET = ("flood", "icing_pass", "piped", "lettering", "transfer")
"""Layers that lay icing, which then has to dry."""
KINDS = ("plain", "two_colour", "stencil", "stencil_detail", "lettered", "very_detailed")
STAGES = ("nothing", "dough", "baked", "flooded", "sprayed", "decorated", "packed")
WAYS = ("collected", "delivered", "posted", "stall")
LAYER_WAITS = ("", "outline_set", "crusted", "firm", "base_dry", "wafer_dry", "dry_through")
USUAL_CM2 = 46.0
"""The cookie that cookies a batch are counted in, and that nobody has drawn yet."""
MOST_COOKIES = 5000
"""More than this on one line is no order for one pair of hands but a slip of the finger."""


@dataclass(frozen=True)
class Layer:
    """One application with its own drying.

    `wait` is what the layers below must have reached before this one; "" where nothing lies below, or where
    this layer may follow at once. A flood layer with several colours splits the cookies among them
    (variations); every other layer puts all its colours on each cookie. Minutes and grams left at None come
    from the defaults. `dots` is how many are piped on a cookie, where that is known; `shading` says that the
    layer only shades what another one shows. `number` names a layer among those of its kind, so that its jobs
    keep their ids when layers are added, moved or taken off; 0 is counted from the order of the layers.
    `share` is how much of the usual minutes and grams it takes: 0.5 for half the dots. `pieces` of wafer
    paper go on each cookie, each of `piece_mm` (width, height); None: each covers the cookie.
    """

    kind: str
    colours: tuple[str, ...] = ()
    minutes_per_cookie: float | None = None
    wait: str = ""
    stencils: tuple[str, ...] = ()
    placings: int = 1
    grams_per_cookie: float | None = None
    thickness_mm: float = 2.5
    title: str = ""
    other_way: "Layer | None" = None
    dots: int = 0
    shading: bool = False
    number: int = 0
    share: float = 1.0
    pieces: int = 1
    piece_mm: tuple[float, float] | None = None

    def __post_init__(self):
        if self.kind not in LAYER_KINDS:
            raise ValueError(f"There is no layer called {self.kind!r}.")
        if self.wait not in LAYER_WAITS:
            raise ValueError(f"There is no wait called {self.wait!r}.")
        if not 0 < self.placings <= 50 or not 0.1 <= self.thickness_mm <= 30:
            raise ValueError("A layer needs 1 to 50 placings and a thickness of 0.1 to 30 mm.")
        if self.pieces < 1 or not all(side > 0 for side in self.piece_mm or ()):
            raise ValueError("A layer has one piece or more, each of some size.")
        if not 0 < self.share <= 1:
            raise ValueError("A layer takes some of its usual minutes, and no more than all of them.")
        for name, value in (("minutes", self.minutes_per_cookie), ("grams", self.grams_per_cookie)):
            if value is not None and not 0 <= value <= 1000:
                raise ValueError(f"The {name} per cookie must lie between 0 and 1000.")
        object.__setattr__(self, "colours", tuple(self.colours))
        object.__setattr__(self, "stencils", tuple(self.stencils))

    @property
    def wet(self) -> bool:
        """True when this layer lays icing that has to dry."""
        return self.kind in WET


@dataclass(frozen=True)
class LineSpec:
    """Some cookies of one look. `spares` None means the shop's share; `colours` is a count or the names.

    `stage` says where the cookies are now, `stage_at` when they got there (waits may still run), `baked_at`
    when they were baked (for keeping); both may stay unknown. `shape` is what blanks made ahead must have.
    `of_kind` says that `layers` are those of the kind, made simpler: they keep the minutes of that kind.
    """

    id: str
    title: str
    kind: str
    quantity: int
    spares: int | None = None
    designs: int = 1
    colours: int | tuple[str, ...] = 1
    layers: tuple[Layer, ...] = ()
    area_cm2: float = USUAL_CM2
    names: int = 0
    packaging: str = "bag"
    stage: str = "nothing"
    base: str = ""
    stage_at: datetime | None = None
    baked_at: datetime | None = None
    shape: str = ""
    of_kind: bool = False

    def __post_init__(self):
        if self.kind not in KINDS:
            raise ValueError(f"There is no kind of cookie called {self.kind!r}.")
        if self.stage not in STAGES:
            raise ValueError(f"There is no stage called {self.stage!r}.")
        if not 1 <= self.quantity <= MOST_COOKIES:
            raise ValueError(f"{self.quantity} cookies: one line takes 1 to {MOST_COOKIES}.")
        if not 1 <= self.designs <= 200 or not 0 <= self.names <= MOST_COOKIES:
            raise ValueError("A line takes 1 to 200 designs and no negative number of names.")
        if self.spares is not None and not 0 <= self.spares <= MOST_COOKIES:
            raise ValueError("Spares cannot be negative.")
        if not 1 <= self.area_cm2 <= 2000:
            raise ValueError(f"A cookie of {self.area_cm2} cm2 is outside 1 to 2000 cm2.")
        object.__setattr__(self, "layers", tuple(self.layers))
        if not isinstance(self.colours, int):
            object.__setattr__(self, "colours", tuple(self.colours))


@dataclass(frozen=True)
class OrderSpec:
    """One order. `hand_over` is when customer or carrier takes it, `event` when it is worthless after.

    With `bake_ahead` its blanks are frozen once they are cold, and thawed before they are decorated.
    `distance_km` is the way there, `asked_days` how long before the hand-over it was asked for: both are only
    priced, and either may be unknown. `platter_holds` is how many cookies one of its platters takes, as they
    are laid on the tray she picked; None for the platters of the shop.
    """

    id: str
    title: str
    lines: tuple[LineSpec, ...]
    hand_over: datetime
    event: datetime | None = None
    way: str = "collected"
    travel_minutes: int = 0
    transit_days: int = 0
    soft: bool = False
    weight: int = 1
    bake_ahead: bool = False
    distance_km: float | None = None
    asked_days: int | None = None
    platter_holds: int | None = None

    def __post_init__(self):
        object.__setattr__(self, "lines", tuple(self.lines))
        if not self.lines:
            raise ValueError("An order needs at least one line.")
        if len({line.id for line in self.lines}) != len(self.lines):
            raise ValueError("Two lines of an order have the same id.")
        if self.way not in WAYS:
            raise ValueError(f"There is no way of handing over called {self.way!r}.")
        if not 0 <= self.travel_minutes <= 24 * 60 or not 0 <= self.transit_days <= 60:
            raise ValueError("Travel takes up to a day, the post up to 60 days.")
        if self.distance_km is not None and not 0 <= self.distance_km <= 20000:
            raise ValueError("The way there is 0 to 20000 km.")
        if self.platter_holds is not None and self.platter_holds < 1:
            raise ValueError("A platter takes at least one cookie.")
        for when in (self.hand_over, self.event):
            if when is not None and when.tzinfo is None:
                raise ValueError("Times need a time zone.")

    @property
    def leaves(self) -> datetime:
        """When it must be packed: the hand-over, less the way there."""
        return self.hand_over - timedelta(minutes=self._road)

    @property
    def too_late(self) -> datetime | None:
        """When leaving the kitchen would miss the event: the event, less road and post."""
        if self.event is None:
            return None
        return max(self.leaves, self.event - timedelta(minutes=self._road, days=self._post))

    @property
    def _road(self) -> int:
        return self.travel_minutes if self.way != "collected" else 0

    @property
    def _post(self) -> int:
        return self.transit_days if self.way == "posted" else 0


@dataclass(frozen=True)
class Pack:
    """A box or platter that she has: how many cookies it `holds`, or its inner `size_mm` (three sides).

    `thing` is "box" or "platter", `key` the cupboard's name for it.
    """

    thing: str
    name: str
    holds: int = 0
    size_mm: tuple[float, ...] = ()
    key: str = ""

    def __post_init__(self):
        if self.holds < 1 and not (len(self.size_mm) == 3 and min(self.size_mm) > 0):
            raise ValueError("A box holds so many cookies, or has three sides.")


@dataclass(frozen=True)
class Shop:
    """The kitchen and its habits. `minutes` overrides single operations of `kinds.MINUTES`, `kind_minutes`
    the decorating minutes a cookie of a whole kind that nobody has designed yet.

    `spare_time` is the minutes wanted between packed and handed over; `boxed_within` how long a dry tray may
    go on filling its place until somebody is at home to box it. `paints` are the airbrush colours by name,
    `cleaning` her figures of cleaning between them (None: the usual ones); `cut_outs` says what share of the
    face a stencil piece leaves open, `masks` which pieces only cover. `batch_cm2` is the area of the cookies
    that one batch of the usual dough gives, 0 for `cookies_per_batch` usual ones; `sheet_mm` a sheet of wafer
    paper, `packs` her boxes and platters.
    """

    cookies_per_sheet: int = 14
    sheets_in_oven: int = 2
    rack_places: int = 12
    cookies_per_tray: int = 14
    cookies_per_batch: int = 20
    keeps_days: int = 5
    airbrushes: int = 1
    stencil_copies: Mapping[str, int] = field(default_factory=dict)
    dryer: int = 0
    wash_up_minutes: int = 15
    door_minutes: int = 10
    spare_share: float = 0.15
    rest_darks: bool = False
    spare_time: int = 720
    boxed_within: int = 720
    minutes: Mapping[str, float] = field(default_factory=dict)
    kind_minutes: Mapping[str, float] = field(default_factory=dict)
    paints: "Mapping[str, Paint]" = field(default_factory=dict)
    cleaning: "Cleaning | None" = None
    cut_outs: Mapping[str, float] = field(default_factory=dict)
    masks: frozenset[str] = frozenset()
    batch_cm2: float = 0.0
    sheet_mm: tuple[float, float] = (210.0, 297.0)
    packs: tuple[Pack, ...] = ()

    def __post_init__(self):
        for name in (
            "cookies_per_sheet",
            "sheets_in_oven",
            "rack_places",
            "cookies_per_tray",
            "cookies_per_batch",
            "keeps_days",
        ):
            if getattr(self, name) < 1:
                raise ValueError(f"{name} must be at least 1.")
        if not 0 <= self.spare_share <= 2 or min(self.wash_up_minutes, self.door_minutes) < 0:
            raise ValueError("Spares are a share from 0 to 2; minutes are never negative.")
        if self.batch_cm2 < 0 or min(self.sheet_mm) <= 0:
            raise ValueError("A batch and a sheet are of some size.")
        if any(not 0 < share <= 1 for share in self.cut_outs.values()):
            raise ValueError("A stencil leaves some of the face open, and no more than all of it.")
        paints = {name.casefold(): paint for name, paint in self.paints.items()}
        object.__setattr__(self, "paints", paints)
        for name in ("stencil_copies", "minutes", "kind_minutes", "paints", "cut_outs"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))

    @property
    def dough_cm2(self) -> float:
        """Area of the cookies that one batch of dough gives."""
        return self.batch_cm2 or self.cookies_per_batch * USUAL_CM2
