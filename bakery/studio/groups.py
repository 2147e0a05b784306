"""The groups of the set-up page, each with one true sentence about how it stands."""

from dataclasses import dataclass

from django.utils import timezone

from . import adapters, queries
from .calendar_address import calendar_address
from .forms.tools import tool_name
from .models import BakingHours, HoursChange, Outage, Studio
from .room import dozens_in, minutes_of_week
from .templatetags.words import hours


@dataclass(frozen=True)
class Group:
    """One line of the set-up page."""

    key: str
    title: str
    sentence: str


def groups(studio: Studio, user, copies: list) -> list[Group]:
    """Every group in the order of the page."""
    return [
        Group("hours", "Baking hours", hours_sentence(studio)),
        Group("dates", "Changed dates", dates_sentence()),
        Group("tools", "Tools that are out", tools_sentence()),
        Group("room", "The room", room_sentence()),
        Group("kitchen", "Kitchen", kitchen_sentence(studio)),
        Group("habits", "Habits", habits_sentence(studio)),
        Group("prices", "Prices", prices_sentence(studio)),
        Group("terms", "Terms", terms_sentence(studio)),
        Group("food", "Allergens", food_sentence(studio)),
        Group("about", "Your studio", about_sentence(studio)),
        Group("calendar", "Calendar", calendar_sentence()),
        Group("password", "Signing in", f"You are {user.get_username()}."),
        Group("copies", "Copies", copies_sentence(copies)),
    ]


def hours_sentence(studio: Studio) -> str:
    rows = list(BakingHours.objects.all())
    if not rows:
        return "None yet, so nothing can be planned."
    total, left = minutes_of_week(rows, studio.wash_up_minutes)
    dozens = dozens_in(left, adapters.shop(studio), float(studio.padding))
    return f"{hours(total)} a week, about {dozens} dozen plain cookies."


def dates_sentence() -> str:
    coming = HoursChange.objects.filter(date__gte=timezone.localdate())
    first, count = coming.first(), coming.count()
    if first is None:
        return "Every week is an ordinary one."
    return f"{count} to come, the next on {day(first.date)}."


def tools_sentence() -> str:
    out = list(Outage.objects.filter(end__gt=timezone.now()))
    if not out:
        return "Everything works."
    name = tool_name(out[0].resource)
    return f"{name[:1].upper()}{name[1:]} is out until {moment(out[0].end)}."


def room_sentence() -> str:
    reading = queries.newest_reading()
    base = adapters.drying().wait("base_dry")
    usual, slow = (hours(5 * round(span / 5)) for span in (base.usual, base.slow))
    waits = f"a base coat is usually dry in {usual}, on a slow night in {slow}."
    if base.never:
        waits = "a base coat never gets hard in this air: a dryer, or heat and a dehumidifier, would help."
    if reading is None:
        return f"No reading of the last day and a half; in a usual room {waits}"
    return f"{plain(reading.temperature_c)} °C, {plain(reading.humidity_percent)} %: {waits}"


def kitchen_sentence(studio: Studio) -> str:
    brushes = {0: "no airbrush", 1: "one airbrush"}.get(studio.airbrushes, f"{studio.airbrushes} airbrushes")
    return (
        f"{studio.cookies_per_sheet} cookies on a sheet, {studio.cookies_per_batch} from a batch, "
        f"{studio.rack_places} places to dry, {brushes}."
    )


def habits_sentence(studio: Studio) -> str:
    return f"Cookies keep {studio.keeps_days} days; washing up takes {studio.wash_up_minutes} min."


def prices_sentence(studio: Studio) -> str:
    sign = studio.currency_sign
    if studio.price_rule == Studio.PriceRule.WAGE:
        made = f"an hour should reach {sign}{studio.target_wage:.2f}"
    else:
        made = f"your hour earns {sign}{studio.hourly_wage:.2f}, {plain(studio.margin_percent)} % on top"
    return f"{made[0].upper()}{made[1:]}; rounded to {sign}{studio.round_to:.2f}."


@dataclass(frozen=True)
class Thing:
    """What an ingredient or a piece of packing costs, and whether that is hers or an example."""

    what: str
    packet: str
    price: str
    example: bool


def things_priced() -> list[Thing]:
    """Everything a price is made of that is bought: her recipes' ingredients, then packing."""
    known = adapters.prices()
    food = dict.fromkeys(item.name for item in (*known.dough.ingredients, *known.icing.ingredients))
    rates = [(name, known.rate(name)) for name in (*food, "bag", "box", "platter", "carton")]
    rates.append(("wafer paper", known.rate("wafer")))
    return [Thing(name, rate.name, rate.words, rate.example) for name, rate in rates if name != "water"]


def terms_sentence(studio: Studio) -> str:
    return f"{studio.deposit_percent} % books, a quote stays open {studio.quote_hours} h."


def food_sentence(studio: Studio) -> str:
    return f"Contains {studio.contains or 'nothing that is named'}."


def about_sentence(studio: Studio) -> str:
    return (
        ", ".join(part for part in (studio.name, studio.address) if part) or "No name yet; quotes want one."
    )


def calendar_sentence() -> str:
    own = calendar_address()
    if own is None:
        return "Not in your own calendar yet."
    return f"Last fetched {moment(own.read_at)}." if own.read_at else "Has an address; not fetched yet."


def copies_sentence(copies: list) -> str:
    if not copies:
        return "None yet; the first is made in the night."
    return f"The last one {moment(copies[0].made)}; one more every night."


def day(date) -> str:
    return f"{date:%a} {date.day} {date:%B}"


def moment(at) -> str:
    local = timezone.localtime(at)
    return f"{day(local)}, {local:%H:%M}"


def plain(number) -> str:
    """18.5 stays, 61.0 becomes 61."""
    return f"{float(number):g}"
