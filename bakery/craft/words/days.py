# ruff: noqa: E501  (a pattern cut in two is harder to read than a long one)
"""Days and times in a customer's words: day before month unless impossible, the nearest day to come."""

import re
from datetime import date, time, timedelta

from .numbers import NUMBER, number_of
from .page import Page

__all__ = ["read_days", "read_times"]

DAYS = {
    "monday": 0, "mon": 0, "tuesday": 1, "tues": 1, "tue": 1, "wednesday": 2, "weds": 2, "wed": 2,
    "thursday": 3, "thurs": 3, "thur": 3, "thu": 3, "friday": 4, "fri": 4, "saturday": 5, "sat": 5,
    "sunday": 6, "sun": 6,
}  # fmt: skip
MONTHS = {
    name: i
    for i, names in enumerate(
        (
            "january jan", "february feb", "march mar", "april apr", "may", "june jun", "july jul",
            "august aug", "september sept sep", "october oct", "november nov", "december dec",
        ),
        1,
    )
    for name in names.split()
}  # fmt: skip
FEASTS = {
    "christmas eve": (12, 24), "xmas eve": (12, 24), "christmas day": (12, 25), "boxing day": (12, 26),
    "new year's eve": (12, 31), "new years eve": (12, 31), "halloween": (10, 31), "bonfire night": (11, 5),
    "valentine's day": (2, 14), "valentines day": (2, 14),
}  # fmt: skip
_DAY = "(?:" + "|".join(sorted(DAYS, key=len, reverse=True)) + r")\b\.?"
_MONTH = "(?:" + "|".join(sorted(MONTHS, key=len, reverse=True)) + r")\b\.?"
_NTH = r"\d{1,2}(?:st|nd|rd|th)?"
_SP = r"[ \t]{1,3}"
_YEAR = r"(?:,?[ \t]{1,3}((?:20)\d{2})\b)?"
# "for Leos 5th", in haste without its apostrophe; "for Saturdays 5th" is a day.
SOMEBODYS = r"\bfor[ \t]{1,3}(?!\w*days\b|(?:jan|feb|mar|apr|may|jun|jul|aug|sept?|oct|nov|dec)[a-z]{0,6}s\b)[^\W\d_]{2,20}s"
AGE = r"(?:birthday|bday|b-day|anniversary|wedding|party|year|do\b)"


def _safe(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except (ValueError, OverflowError):
        return None


def _coming(today: date, month: int, day: int, year: int | None = None) -> date | None:
    """The date in that year, else the nearest one that is not past (29 February may be years away)."""
    if year is not None:
        return _safe(year, month, day)
    for ahead in range(9):
        found = _safe(today.year + ahead, month, day)
        if found is not None and found >= today:
            return found
    return None


def _next_weekday(today: date, weekday: int) -> date:
    """The first such weekday after today: cookies are not ordered for the same day."""
    return today + timedelta(days=(weekday - today.weekday() - 1) % 7 + 1)


def _next_nth(today: date, day: int, weekday: int | None, doubts: list[str]) -> date | None:
    """The nearest coming day of the month; with a weekday, one that fits it within a quarter of a year."""
    found = []
    year, month = today.year, today.month
    for _ in range(14):
        when = _safe(year, month, day)
        if when is not None and when >= today:
            found.append(when)
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
    if not found:
        return None
    if weekday is not None:
        for when in found:
            if when.weekday() == weekday and (when - today).days <= 92:
                return when
        doubts.append(f"The {day} is a {found[0]:%A}. Which of the two is right?")
    return found[0]


_FETCH = re.compile(
    r"collect|pick(?:ed|ing)?[ \t-]?up|deliver|post|ready|fetch|hand[ \t-]?over|\bby\b|before", re.IGNORECASE
)


def read_days(page: Page, today: date, doubts: list[str]) -> tuple[date | None, date | None]:
    """The day of the hand-over and that of the event where both are named. Days beyond the calendar are passed over."""
    first = _a_day(page, today, doubts)
    if first is None:
        return None, None
    mark = len(page.used) - 1
    unsure: list[str] = []
    second = _a_day(page, today, unsure)
    if second is None or second == first or second.weekday() == first.weekday():
        return first, None
    doubts += unsure
    swap = _second_is_fetched(page, mark, len(page.used) - 1)
    if swap is None:
        swap = second < first  # what is eaten on a day is fetched before it
        hand_over = second if swap else first
        doubts.append(f"Two days are named; the hand-over is read as {hand_over.day} {hand_over:%B}.")
    page.rename(mark if swap else len(page.used) - 1, "event_day")
    hand_over, event = (second, first) if swap else (first, second)
    return _just_before(page.used[-1 if swap else mark].words, hand_over, event), event


def _just_before(words: str, day: date, event: date) -> date:
    """A weekday alone beside a dated event ("sun 20th, collect sat") is the last one before the event."""
    said = words.lower().replace(".", " ").replace(",", " ").split()
    alone = bool(said) and said[-1] in DAYS and not {"this", "next"} & set(said)
    alone = alone and not any(sign.isdigit() for sign in words)
    return event - timedelta(days=(event - day).days % 7) if alone and day < event else day


def _second_is_fetched(page: Page, first: int, second: int) -> bool | None:
    """Whether a word of fetching stands before the second of two marks rather than the first; None if unclear."""
    near = [bool(_FETCH.search(page.before(mark, 24))) for mark in (first, second)]
    return None if near[0] == near[1] else near[1]


def _a_day(page, today, doubts):
    for reader in (_written_date, _numbers, _nth_with_weekday, _relative, _weekday, _lone_nth, _feast):
        try:
            when = reader(page, today, doubts)
        except OverflowError:  # beyond the last year of the calendar
            when = None
        if when is not None:
            return when
    return None


def _written_date(page, today, doubts):
    """5 December, 5th of Dec 2026, December 5, 2026-12-05; a weekday before it is checked."""
    iso = page.find(r"\b(20\d{2})-(\d{1,2})-(\d{1,2})\b")
    if iso:
        when = _safe(int(iso[1]), int(iso[2]), int(iso[3]))
        if when:
            page.take_match("day", iso)
            return when
    lead = rf"(?:\b({_DAY}),?{_SP}(?:the{_SP})?)?"
    forms = (
        (rf"{lead}\b({_NTH})(?:{_SP}|[ \t]?-)?(?:of{_SP})?({_MONTH}){_YEAR}", 2, 3),
        (rf"{lead}\b({_MONTH}){_SP}(?:the{_SP})?({_NTH})(?![\d:./])\b{_YEAR}", 3, 2),
    )
    for pattern, day_at, month_at in forms:
        for found in page.every(pattern):
            month = MONTHS[found[month_at].lower().rstrip(".")]
            day = int(re.match(r"\d+", found[day_at])[0])
            when = _coming(today, month, day, int(found[4]) if found[4] else None)
            if when:
                page.take_match("day", found)
                _check(when, found[1], doubts)
                return when
    return None


def _check(when: date, weekday: str | None, doubts: list[str]) -> None:
    if weekday and DAYS[weekday.lower().rstrip(".")] != when.weekday():
        doubts.append(f"{when.day} {when:%B} is a {when:%A}. Which of the two is right?")


def _numbers(page, today, doubts):
    """12/12, 3.4.2026, 14-02-27: day first unless that is impossible."""
    lead = rf"(?:\b({_DAY}),?{_SP})?"
    for found in page.every(
        rf"{lead}(?<![\d/.,£$€])\b(\d{{1,2}})([/.-])(\d{{1,2}})(?:\3(\d{{4}}|\d{{2}}))?\b(?![/:\d])"
    ):
        first, second = int(found[2]), int(found[4])
        year = None if found[5] is None else int(found[5]) + (2000 if len(found[5]) == 2 else 0)
        after = page.rest[found.end() : found.end() + 4].lower()
        # 3.30 is a time and 20-30 a range, unless a year says otherwise.
        dotted = found[3] == "." and re.match(r"\.(?!\d)", after)
        if year is None and not dotted and (found[3] != "/" or re.match(r"\s?[ap]\.?m", after)):
            continue
        when = _coming(today, second, first, year)
        if when is not None and first <= 12 and second <= 12 and first != second:
            doubts.append(f"{found[2]}{found[3]}{found[4]} is read as {when.day} {when:%B}.")
        when = when or _coming(today, first, second, year)
        if when:
            page.take_match("day", found)
            _check(when, found[1], doubts)
            return when
    return None


def _nth_with_weekday(page, today, doubts):
    """Sat 14th, Saturday the 14th, the 14th (Saturday)."""
    forms = (
        (rf"\b({_DAY}),?{_SP}(?:the{_SP})?(\d{{1,2}}(?:st|nd|rd|th)\b(?!{_SP}{AGE})|\d{{1,2}}\b(?!{_SP}{AGE})(?![\d:./%]|[ap]m|[ \t]?(?:am|pm|o'?clock|noon|dozen|cookies|biscuits|of\b)))", 1, 2),
        (rf"\b(?:the{_SP})?(\d{{1,2}}(?:st|nd|rd|th)){_SP}\(?({_DAY})\)?", 2, 1),
    )  # fmt: skip
    for pattern, weekday_at, day_at in forms:
        for found in page.every(pattern):
            day = int(re.match(r"\d+", found[day_at])[0])
            weekday = DAYS[found[weekday_at].lower().rstrip(".")]
            if not 1 <= day <= 31 or (not found[day_at][-1].isalpha() and day < 13):
                continue  # "Saturday 10" is rather a time
            when = _next_nth(today, day, weekday, doubts)
            if when:
                page.take_match("day", found)
                return when
    return None


def _relative(page, today, doubts):
    """Tomorrow, in three days, in a fortnight, this weekend, a week on Friday, Friday week."""
    week_on = page.find(rf"\b(?:a{_SP})?week{_SP}on{_SP}({_DAY})|\b({_DAY}){_SP}week\b")
    if week_on:
        page.take_match("day", week_on)
        name = (week_on[1] or week_on[2]).lower().rstrip(".")
        return _next_weekday(today, DAYS[name]) + timedelta(days=7)
    after = page.find(r"\b(?:the[ \t]{1,3})?day after tomorrow\b")
    if after:
        page.take_match("day", after)
        return today + timedelta(days=2)
    near = page.find(r"\b(today|tonight|tomorrow|tmrw|tomorow)\b")
    if near:
        page.take_match("day", near)
        return today + timedelta(days=near[1].lower() not in ("today", "tonight"))
    ahead = page.find(
        rf"\bin{_SP}({NUMBER}|an?|a couple(?: of)?){_SP}(day|week|fortnight|month)s?\b(?:'? time)?"
    )
    if ahead:
        word = ahead[1].lower()
        count = 2 if word.startswith("a couple") else 1 if word in ("a", "an") else number_of(word)
        days = {"day": 1, "week": 7, "fortnight": 14, "month": 30}[ahead[2].lower()]
        if count is not None and 0 < count * days <= 800:
            page.take_match("day", ahead)
            return today + timedelta(days=int(count * days))
    weekend = page.find(rf"\b(?:this|next|the|at){_SP}(?:the{_SP})?weekend\b")
    if weekend:
        page.take_match("day", weekend)
        doubts.append("At the weekend is read as the Saturday.")
        return _next_weekday(today, 5)
    return None


def _weekday(page, today, doubts):
    """Saturday, this Friday, next Friday: the nearest to come."""
    for found in page.every(rf"(?:\b(this|next|coming|on|by|for|before){_SP})?\b({_DAY})"):
        name = found[2].lower().rstrip(".")
        if name == "sun" and not found[1] and found[2] != "Sun":
            continue  # a sun may be what is on the cookies
        if name in ("sat", "wed", "mon", "mar") and not found[1] and page.text[found.start(2)].islower():
            nearby = page.rest[found.end() : found.end() + 12]
            if not re.match(r"\s*(?:$|[,.;!?)]|\d|at\b|by\b|pm|am|noon|morning|afternoon|evening|lunch|pls|please|the\b)", nearby, re.I):  # fmt: skip
                continue
        page.take_match("day", found)
        when = _next_weekday(today, DAYS[name])
        if found[1] and found[1].lower() == "next":
            doubts.append(f"Next {when:%A} is read as {when.day} {when:%B}.")
        return when
    return None


def _lone_nth(page, today, doubts):
    """The 14th, on the 3rd, by 21st; an age ("his 21st", "21st birthday") is no day."""
    pattern = rf"(?:\b(on|by|for|before|until|the)[ \t]{{1,3}})?(?:the[ \t]{{1,3}})?\b(\d{{1,2}})(?:st|nd|rd|th)\b(?![ \t]{{1,3}}{AGE})"
    for found in page.every(pattern):
        before = page.text[max(0, found.start() - 30) : found.start()].lower()
        if not found[1] and re.search(
            rf"(?:'s|’s|s'|\b(?:my|his|her|our|their|your)|{SOMEBODYS})\s*$", before
        ):
            continue
        day = int(found[2])
        if 1 <= day <= 31:
            when = _next_nth(today, day, None, doubts)
            if when:
                page.take_match("day", found)
                return when
    return None


def _feast(page, today, doubts):
    for name, (month, day) in FEASTS.items():
        found = page.find(rf"\b{name}\b")
        if found:
            page.take_match("day", found)
            return _coming(today, month, day)
    return None


VAGUE = {
    "morning": time(10), "lunchtime": time(12), "lunch time": time(12), "lunch": time(12),
    "afternoon": time(15), "teatime": time(16), "tea time": time(16), "evening": time(18), "tonight": time(18),
}  # fmt: skip


def read_times(page: Page, doubts: list[str]) -> tuple[time | None, bool, time | None]:
    """Time of the hand-over, whether it is only vague ("evening" is 18:00), and the event's where both are named."""
    first, vague = _a_time(page, doubts)
    if first is None or vague:
        return first, vague, None
    mark, unsure = len(page.used) - 1, []
    second, second_vague = _a_time(page, unsure)
    if second is None or second == first or second_vague:
        return first, False, None
    doubts += unsure
    swap = _second_is_fetched(page, mark, len(page.used) - 1)
    if swap is None:
        doubts.append(f"Two times are named; the hand-over is read as {first:%H:%M}.")
    page.rename(mark if swap else len(page.used) - 1, "event_time")
    return (second, False, first) if swap else (first, False, second)


def _a_time(page, doubts):
    for reader in (_noon, _clock_time, _half_past, _bare_hour):
        when = reader(page, doubts)
        if when is not None:
            return when, False
    found = page.find(r"\b(?:in[ \t]{1,3}the[ \t]{1,3})?(" + "|".join(VAGUE) + r")\b")
    if found:
        page.take_match("time", found)
        return VAGUE[found[1].lower()], True
    return None, False


def _noon(page, doubts):
    found = page.find(r"\b(?:at[ \t]{1,3}|by[ \t]{1,3})?(?:12[ \t]?)?(noon|midday|mid-day)\b")
    if found:
        page.take_match("time", found)
        return time(12)
    return None


def _clock_time(page, doubts):
    """15:00, 3pm, 3.30 pm, 10 a.m., 9 o'clock."""
    pattern = (
        r"(?:\b(?:at|by|from|around|about|before)[ \t]{1,3})?(?<![\d/£$€.,:])\b(\d{1,2})(?:[:.](\d{2}))?[ \t]?"
        r"(am|pm|a\.m\.?|p\.m\.?|o'?clock|o’clock|h\b)(?![a-z])|"
        r"(?:\b(?:at|by|from|around|about|before)[ \t]{1,3})?(?<![\d/£$€.,:])\b(\d{1,2}):(\d{2})\b(?!:)"
    )
    for found in page.every(pattern):
        hour, minute = int(found[1] or found[4]), int(found[2] or found[5] or 0)
        mark = (found[3] or "").lower().replace(".", "")
        if mark == "pm" and hour < 12:
            hour += 12
        elif mark == "am" and hour == 12:
            hour = 0
        elif mark in ("o'clock", "oclock", "o’clock"):
            hour = _kitchen_hour(hour)
        if hour <= 23 and minute <= 59:
            page.take_match("time", found)
            return time(hour, minute)
    return None


def _half_past(page, doubts):
    found = page.find(
        rf"\b(half|quarter){_SP}(past|to){_SP}({NUMBER})\b|\b(?:at|by|around|about){_SP}half{_SP}({NUMBER})\b(?!-)"
    )
    if not found:
        return None
    hour = number_of(found[3] or found[4] or "")
    if hour is None or not 1 <= hour <= 12 or hour % 1:
        return None
    hour = _kitchen_hour(int(hour))
    minutes = 30 if not found[1] or found[1].lower() == "half" else 15
    total = hour * 60 + (minutes if (found[2] or "past").lower() == "past" else -minutes)
    page.take_match("time", found)
    return time(total // 60 % 24, total % 60)


def _bare_hour(page, doubts):
    """At 3, by 5: an hour of the day that a customer would come."""
    found = page.find(
        r"\b(?:at|by)[ \t]{1,3}(\d{1,2})(?:\.(\d{2}))?\b(?![ \t]{0,2}(?:[%£$:/]|cookies|biscuits|dozen|people))"
    )
    if not found:
        return None
    hour, minute = int(found[1]), int(found[2] or 0)
    if not 1 <= hour <= 23 or minute > 59:
        return None
    page.take_match("time", found)
    hour = _kitchen_hour(hour)
    doubts.append(f"“{found[0].strip()}” is read as {hour:02}:{minute:02}.")
    return time(hour, minute)


def _kitchen_hour(hour: int) -> int:
    """1 to 7 without more is the afternoon: nobody fetches cookies at four in the morning."""
    return hour + 12 if 1 <= hour <= 7 else hour % 24
