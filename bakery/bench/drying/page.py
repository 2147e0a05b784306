"""What the Drying page says. Reads only, in a bounded number of queries."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.craft.drying import Coat, DryingTimes, crowding, water_curve
from bakery.drawing.drying import Curve, Mark, drying_curve
from bakery.production import words
from bakery.production.levers import length, levers_here, room_verdict, what
from bakery.production.touching import Ask, asks, lying
from bakery.studio import adapters as studio
from bakery.studio.models import Reading
from bakery.studio.queries import newest_reading

from .taught import Taught, taught

THICKNESSES = (1.5, 2.0, 2.5, 3.0, 4.0)
USUAL_MM = 2.5
AIRS = {"still": "still air", "fan": "a fan", "dryer": "the dryer"}
ROWS = (
    ("crusted", "Crusted: the neighbouring colour may follow"),
    ("firm", "Firm: pipe on top"),
    ("base_dry", "Base dry, hard through: stencil, spray, stack, bag"),
    ("wafer_dry", "Dry enough for wafer paper"),
)
POINTS = 33
CROWD, AREA_CM2, ROOM_M3 = 24, 40, 30


@dataclass(frozen=True)
class Row:
    key: str
    title: str
    usual: str
    slow: str


@dataclass(frozen=True)
class LeverRow:
    title: str
    usual: str
    slow: str


@dataclass(frozen=True)
class DryingView:
    headline: str
    lead: str
    where: str
    here: DryingTimes
    air: str
    rows: tuple[Row, ...]
    never: bool
    levers: tuple[LeverRow, ...]
    wide: str
    phone: str
    curve_words: str
    lying: tuple[Ask, ...]
    taught: tuple[Taught, ...]
    crowd: str
    reading: Reading | None
    airs: tuple[tuple[str, str], ...]
    thicknesses: tuple[float, ...] = THICKNESSES


def drying_view(now: datetime, *, thickness: float = USUAL_MM, air: str = "") -> DryingView:
    """The page for one thickness [mm] and one kind of air, by default that of the reading."""
    shop, reading = studio.shop(), newest_reading(now)
    here = studio.drying(now, air=air).at(thickness)
    airs = tuple((key, name) for key, name in AIRS.items() if key != "dryer" or shop.dryer)
    base, curve = here.wait("base_dry"), _curve(here, now)
    return DryingView(
        headline=_headline(here, base),
        lead=_lead(here, base),
        where=_where(here, reading, now),
        here=here,
        air=here.air,
        rows=tuple(_row(here, key, title) for key, title in ROWS),
        never=base.never,
        levers=tuple(
            LeverRow(words.capital(what(one, shop)), length(one.span.usual), length(one.span.slow))
            for one in levers_here(here, shop)
        ),
        wide=drying_curve(curve, width=1180),
        phone=drying_curve(curve, width=350, size=16.5),
        curve_words=_curve_words(curve),
        lying=tuple(asks(lying(now), now)),
        taught=tuple(taught(now, here.air)),
        crowd=_crowd(here),
        reading=reading,
        airs=airs,
    )


def _headline(here, base) -> str:
    if base.never:
        return "It won’t harden here as it is."
    return f"A {here.thickness_mm:g} mm coat dries in {length(base.usual)}."


def _lead(here, base) -> str:
    if base.never:
        crust = length(here.wait("crusted").usual)
        return f"In about {crust} it crusts, and stays soft below. Turn one of the levers first."
    bad = f" {room_verdict(here)}" if room_verdict(here) else ""
    return f"On a slow night in {length(base.slow)}; that is what the plan reckons with.{bad}"


def _where(here, reading, now) -> str:
    air = AIRS[here.air]
    room = f"{here.room.temperature_c:.1f} °C, {100 * here.room.humidity:.0f} %, {air}."
    if reading is None:
        return f"{room} No reading of the last 36 h: a typical {timezone.localtime(now):%B} is assumed."
    at = words.day_and_time(reading.at, now)
    if reading.where == Reading.Where.TRAYS:
        return f"{room} Read at the trays, {at}."
    return f"{room} Reckoned indoors from the weather report, {at}: less sure than a reading at the trays."


def _row(here, key: str, title: str) -> Row:
    span = here.wait(key)
    if span.never:
        return Row(key, title, "never", "never")
    return Row(key, title, length(span.usual), length(span.slow))


def _curve(here: DryingTimes, now: datetime) -> Curve:
    """Water left hour by hour, stretched as her kitchen is slower or faster; marks at what is reached."""
    base = here.wait("base_dry")
    hours = 24.0 if base.never else base.slow / 60 * 1.06
    model = _model_hours(here)
    pace = 1.0 if base.never or not model else base.usual / 60 / model
    room = here.room
    coat = Coat(thickness_mm=here.thickness_mm)
    left = water_curve(hours / pace, POINTS, room.temperature_c, room.humidity, coat, here.air)
    share = tuple(round(one, 3) for one in left)
    marks = [Mark(here.wait(key).usual / 60, name) for key, name in (("crusted", "crusted"), ("firm", "firm"))
             if not here.wait(key).never and here.wait(key).usual / 60 < hours]  # fmt: skip
    if not base.never:
        marks += [Mark(base.usual / 60, "usually dry"), Mark(base.slow / 60, "slow night", bar=True)]
    title = "Water left in the icing, hour by hour, as mist that thins out"
    return Curve(hours, share, tuple(marks), title, timezone.localtime(words.on_five(now)))


def _curve_words(curve: Curve) -> str:
    """The same facts in words: what is reached when, if it is laid now."""
    told = [
        f"{mark.words} by {words.clock(words.on_five(curve.begins + timedelta(hours=mark.hours)))}"
        for mark in curve.marks
    ]
    if not any(mark.bar for mark in curve.marks):
        told.append("soft below as long as the air is so damp")
    return f"Laid now: {', '.join(told)}."


def _model_hours(here) -> float | None:
    from bakery.craft.drying import hours_to_dry

    return hours_to_dry(
        here.room.temperature_c,
        here.room.humidity,
        "through",
        Coat(thickness_mm=here.thickness_mm),
        here.air,
    )


def _crowd(here) -> str:
    """What a crowd of trays does to a room, and to a closed box."""
    base = here.wait("base_dry")
    hours = 12.0 if base.never else base.usual / 60
    coat = Coat(thickness_mm=here.thickness_mm)
    t_c = here.room.temperature_c
    room = crowding(2 * CROWD, AREA_CM2, hours, coat=coat, t_c=t_c, volume_m3=ROOM_M3)
    return (
        f"{2 * CROWD} cookies of {AREA_CM2} cm² give off about {room.water_g:.0f} g of water until they are "
        f"hard. In a kitchen of {ROOM_M3} m³ with its windows shut that is about "
        f"{max(1, round(100 * room.ventilated))} points more humidity, and {round(100 * room.shut)} if no "
        "air came in at all. In a closed box there is nowhere for it to go: it never hardens there. So read "
        "the hygrometer between the trays, and leave air between them."
    )


__all__ = ["AIRS", "THICKNESSES", "USUAL_MM", "DryingView", "drying_view"]
