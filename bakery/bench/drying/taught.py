"""What her touches taught of each kind of air, each touch with its place in that."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from bakery.production import words
from bakery.studio.models import Touch
from bakery.studio.touches import known

SHOWN = 12
NO_MATTER = 0.05
AIR = {"still": "in still air", "fan": "with the fan", "dryer": "in the dryer"}


@dataclass(frozen=True)
class TouchRow:
    """One press. `note` says why it does not count, or "" where it does."""

    pk: int
    when: str
    what: str
    note: str
    refused: bool


@dataclass(frozen=True)
class Taught:
    air: str
    title: str
    sentence: str
    rows: tuple[TouchRow, ...]
    counted: int
    more: int = 0


def taught(now: datetime, air: str = "still") -> list[Taught]:
    """Of every kind of air that was touched in, and always of the one asked about, which comes first. A
    bounded number of queries.
    """
    rows: dict[str, dict] = defaultdict(dict)
    for touch in Touch.objects.all()[:400]:
        rows[touch.air].setdefault((touch.at, touch.hard), touch)  # one row a press, whatever the trays
    learnt = known()
    found = []
    for each, name in sorted(AIR.items(), key=lambda one: one[0] != air):
        own = list(rows[each].values())
        if own or each == air:
            found.append(_taught(each, name, learnt[each], own, now))
    return found


def _taught(air, name, known, own, now) -> Taught:
    return Taught(
        air,
        words.capital(name),
        sentence(known, name),
        tuple(_row(touch, known, now) for touch in own[:SHOWN]),
        known.learnt.rests_on,
        max(0, len(own) - SHOWN),
    )


def sentence(known, name: str) -> str:
    """ "Your kitchen dries 1.2 times slower than the book in still air: rests on 7 touches." """
    number = known.learnt.rests_on
    if not number:
        return f"Nothing is known {name} yet: the book’s times are taken, with room for doubt."
    text = f"Your kitchen dries {_pace(known.factor)} {name}: rests on "
    text += f"{words.counted(number, 'touch', 'touches')}."
    if number < 3:
        text += " That is little, so it counts for little."
    held = len(known.held_back)
    if held:
        count, them = words.capital(words.number_word(held)), "it" if held == 1 else "them"
        text += f" {count} held back: the others do not explain {them}."
    return text


def _pace(factor: float) -> str:
    if abs(factor - 1) < NO_MATTER:
        return "like the book"
    word, times = ("slower", factor) if factor > 1 else ("faster", 1 / factor)
    return f"a little {word} than the book" if times < 1.1 else f"{times:.1f} times {word} than the book"


def _row(touch, known, now) -> TouchRow:
    hours = (touch.at - touch.wet_since).total_seconds() / 3600
    what = (
        f"{'Hard' if touch.hard else 'Soft'} after {words.length(60 * hours)}; "
        f"{_plain(touch.thickness_mm)} mm, {_plain(touch.temperature_c)} °C, "
        f"{_plain(touch.humidity_percent)} %"
    )
    if touch.model_hours:
        what += f". The book says {words.length(60 * float(touch.model_hours))}."
    note = ""
    if touch.refused:
        note = "Does not count: you said so."
    elif not touch.model_hours and touch.air == "dryer":
        note = "Does not count: it lay in the room before it went in."
    elif not touch.model_hours:
        note = "Does not count: the book has no time for air so damp."
    elif touch.job in known.held_back:
        note = "Held back: the other touches do not explain it."
    return TouchRow(touch.pk, words.day_and_time(touch.at, now), what, note, touch.refused)


def _plain(number) -> str:
    return f"{number.normalize():f}"
