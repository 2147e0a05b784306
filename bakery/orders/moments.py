"""Days and times as people write them: "Sat 12:00", "5 Dec 10", "tomorrow noon", "2026-12-05T10:00"."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from difflib import get_close_matches

from .text import one_line

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
          "november", "december")  # fmt: skip
PARTS_OF_DAY = {"noon": time(12), "midday": time(12), "lunchtime": time(12), "lunch": time(12),
                "morning": time(10), "afternoon": time(15), "teatime": time(16), "evening": time(18),
                "midnight": time(23, 55)}  # fmt: skip
_FILLERS = {"at", "on", "by", "the", "of", "next", "this", "coming", "from", "about", "around", "before",
            "hrs", "hours", "uhr", "h", "o'clock"}  # fmt: skip
_TIME = re.compile(
    r"\b(?P<hour>[01]?\d|2[0-4])"
    r"(?:\s?(?:[:.]|\s?h\s?)(?P<minute>[0-5]\d)(?!\d)(?!\.))?"
    r"\s?(?P<half>am|pm|a\.m\.|p\.m\.)?(?![\d:.\-/])",
    re.ASCII,
)
_ISO = re.compile(r"^(\d{4})-(\d{1,2})-(\d{1,2})(?:[t ,]+(.*))?$", re.ASCII)
_NUMERIC = re.compile(r"\b(\d{1,2})[./-](\d{1,2})(?:[./-](\d{4}|\d{2}))?(?=\.?(?:\s|,|$))\.?", re.ASCII)
_DAY_MONTH = re.compile(
    r"\b(\d{1,2})(?:st|nd|rd|th)?\.?\s+(?:of\s+)?([a-z]{3,9})\b\.?,?(?:\s+(\d{4})\b)?", re.ASCII
)
_MONTH_DAY = re.compile(
    r"\b([a-z]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?\b(?!\s*[:.h]\s*\d),?(?:\s+(\d{4})\b)?", re.ASCII
)
_ORDINAL = re.compile(r"\b(\d{1,2})(?:st|nd|rd|th)\b", re.ASCII)
_IN_DAYS = re.compile(r"\bin\s+(a|an|one|two|three|four|\d{1,2})\s+(day|week)s?\b", re.ASCII)
_WORDS = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4}
FARTHEST_DAYS = 3 * 366


class MomentError(ValueError):
    """A sentence for the field: what could not be understood, or why it cannot be."""


def parse_moment(text, *, now: datetime, default: time = time(12), past: bool = False) -> datetime:
    """The moment meant by `text`, in the time zone of `now`. A day without a time gets `default`.

    Raises MomentError with a sentence when no day can be read, when the day does not exist, when the weekday
    contradicts the date, when it has passed (unless `past`), when it is more than three years away and when
    the clocks leave that hour out.
    """
    words = one_line(text).lower().replace("’", "'")
    if not words or len(words) > 80:
        raise MomentError("Which day? For example Sat 12:00, or 5 Dec 10:00.")
    day, rest, weekday_only = _day(words, now.date())
    at = _time(rest)
    if day is None:
        raise MomentError("That day could not be read. Write it like Sat 12:00, or 5 Dec 10:00.")
    moment = datetime.combine(day, at or default, tzinfo=now.tzinfo)
    if weekday_only and moment <= now:
        moment += timedelta(days=7)
    if not past and moment < now:
        raise MomentError(f"{in_words(moment, now=now)} has passed. Which day do you mean?")
    if abs((moment.date() - now.date()).days) > FARTHEST_DAYS:
        raise MomentError("That is more than three years away. Is the year right?")
    if not is_on_the_clock(moment):
        raise MomentError(no_such_hour(moment))
    return moment


def is_on_the_clock(moment: datetime) -> bool:
    """Whether clocks ever show that hour: in spring one is left out."""
    shown = moment.astimezone(UTC).astimezone(moment.tzinfo)
    return shown.replace(tzinfo=None) == moment.replace(tzinfo=None)


def no_such_hour(moment: datetime) -> str:
    """The sentence about an hour that is left out."""
    hour = f"{moment.hour}:{moment:%M} on {moment:%A} {moment.day} {moment:%B}"
    return f"There is no {hour}: the clocks go forward then. Give another time."


def in_words(moment: datetime, *, now: datetime) -> str:
    """`Saturday 5 December, 10:00`; with the year when it is not this or the coming one's first months."""
    year = f" {moment.year}" if abs((moment.date() - now.date()).days) > 300 else ""
    return f"{moment:%A} {moment.day} {moment:%B}{year}, {moment.hour}:{moment:%M}"


def short(moment: datetime, *, now: datetime | None = None) -> str:
    """As she would type it herself: `Sat 5 Dec, 10:00`. Read back by parse_moment.

    With `now` the year stands there too whenever the day would else be read as another year's.
    """
    year = ""
    if now is not None and not 0 <= (moment.date() - now.date()).days < 270:
        year = f" {moment.year}"
    return f"{moment:%a} {moment.day} {moment:%b}{year}, {moment.hour}:{moment:%M}"


def _day(words: str, today: date):
    """The day in `words`, what is left of them, and whether only a weekday was given."""
    if found := _ISO.match(words):
        return _real_day(int(found[1]), int(found[2]), int(found[3])), found[4] or "", False
    weekday, left = _weekday(words)
    for pattern, order in ((_DAY_MONTH, (1, 2, 3)), (_NUMERIC, (1, 2, 3)), (_MONTH_DAY, (2, 1, 3))):
        for found in pattern.finditer(left):
            month = _month(found[order[1]])
            if month is None or (month > 12 and not found[3] and "." in found[0]):  # 11.30 is a time
                continue
            day = _dated(int(found[order[0]]), month, found[order[2]], today)
            _agree(day, weekday)
            return day, left[: found.start()] + " " + left[found.end() :], False
    if found := _ORDINAL.search(left):
        return _this_or_next_month(int(found[1]), weekday, today), left.replace(found[0], " ", 1), False
    for word, days in (("day after tomorrow", 2), ("tomorrow", 1), ("today", 0), ("tonight", 0)):
        if word in left:
            rest = left.replace(word, " ") if word != "tonight" else left.replace(word, " evening ")
            return today + timedelta(days=days), rest, False
    if found := _IN_DAYS.search(left):
        count = _WORDS.get(found[1]) or int(found[1])
        return (
            today + timedelta(days=count * (7 if found[2] == "week" else 1)),
            left.replace(found[0], " "),
            False,
        )
    if weekday is not None:
        return today + timedelta(days=(weekday - today.weekday()) % 7), left, True
    return None, left, False


def _weekday(words: str):
    """The weekday named in `words`, and the words without it."""
    for word in re.findall(r"[a-z]{3,12}", words):
        for number, name in enumerate(WEEKDAYS):
            if name.startswith(word) or word in (name[:4], name[:4] + "s", name + "s"):
                return number, re.sub(rf"\b{word}\b\.?,?", " ", words, count=1)
        close = get_close_matches(word, WEEKDAYS, n=1, cutoff=0.82) if len(word) > 5 else []
        if close:
            return WEEKDAYS.index(close[0]), words.replace(word, " ", 1)
    return None, words


def _month(word: str) -> int | None:
    if word.isascii() and word.isdigit():
        return int(word)
    if word == "sept":
        return 9
    return next((n for n, name in enumerate(MONTHS, 1) if len(word) >= 3 and name.startswith(word)), None)


def _dated(day: int, month: int, year: str | None, today: date) -> date:
    if year:
        return _real_day(int(year) + (2000 if len(year) == 2 else 0), month, day)
    found = _real_day(today.year, month, day, leap=True)
    if found < today - timedelta(
        days=90
    ):  # "3 Jan" said in November is the coming one; last week's is a slip
        found = _real_day(today.year + 1, month, day, leap=True)
    return found


def _real_day(year: int, month: int, day: int, leap: bool = False) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        if leap and (month, day) == (2, 29):
            return _real_day(year + 1, month, day, leap=year % 4 != 3)
        if 1 <= month <= 12 and 1 <= day <= 31:
            raise MomentError(f"There is no {day} {MONTHS[month - 1].title()}.") from None
        raise MomentError("That day is not in the calendar. Write it like 5 Dec 10:00.") from None


def _this_or_next_month(day: int, weekday: int | None, today: date) -> date:
    """`Saturday 14th`: the next 14th that is a Saturday; without a weekday simply the next 14th."""
    first = today.replace(day=1)
    for _ in range(13):
        try:
            found = first.replace(day=day)
        except ValueError:
            found = None
        if found and found >= today and weekday in (None, found.weekday()):
            return found
        first = (first + timedelta(days=32)).replace(day=1)
    raise MomentError("No such day in the coming year. Which date do you mean?")


def _agree(day: date, weekday: int | None):
    if weekday is not None and day.weekday() != weekday:
        raise MomentError(
            f"{day.day} {MONTHS[day.month - 1].title()} is a {WEEKDAYS[day.weekday()].title()}, "
            f"not a {WEEKDAYS[weekday].title()}. Which is right?"
        )


def _time(rest: str) -> time | None:
    """The time of day in `rest`, None without one; MomentError when something is left that is no time."""
    for word, at in PARTS_OF_DAY.items():
        if re.search(rf"\b{word}\b", rest):
            named = _TIME.search(rest)
            return _clock(named) if named else at
    found = _TIME.search(rest)
    if found:
        return _clock(found)
    left = [word for word in re.findall(r"[\w':.]+", rest) if word.strip(".:") and word not in _FILLERS]
    if left:
        raise MomentError(f"“{left[0][:20]}” could not be read as a time. Write it like 12:00.")
    return None


def _clock(found) -> time:
    hour, minute, half = int(found["hour"]), int(found["minute"] or 0), (found["half"] or "").replace(".", "")
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour == 24:
        return time(23, 55)
    return time(hour, minute)
