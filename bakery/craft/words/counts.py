# ruff: noqa: E501  (a pattern cut in two is harder to read than a long one)
"""How many cookies a message asks for."""

import re

from .numbers import NUMBER, number_of
from .page import TAKEN, Page

__all__ = ["read_quantity"]

_SP = r"[ \t]{1,3}"
NOUN = (
    r"(?:cookies?|biscuits?|bikkies|favou?rs?|plaques?|pieces|place[ \t]?cards?|sugar[ \t]cookies|gingerbreads?|"
    r"treats|iced)"
)
_ABOUT = r"(?:\b(?:about|around|approx(?:imately)?\.?|roughly|maybe|circa|say|some)[ \t]{1,3}|~[ \t]?)?"


def read_quantity(page: Page, doubts: list[str]) -> int | None:
    """How many cookies: dozens, a number with a word for cookies, boxes of so many, else a number left over."""
    for reader in (_each_of, _boxes, _dozens, _counted, _times, _left_over):
        value = reader(page, doubts)
        if value is not None:
            return value
    return None


def _each_of(page, doubts):
    """Two cookies each for fifteen guests."""
    found = page.find(
        rf"\b({NUMBER}){_SP}(?:{NOUN}{_SP})?(?:each|per{_SP}(?:guest|person|head|child)){_SP}for{_SP}(?:about{_SP})?({NUMBER})"
        rf"{_SP}(?:guests|people|children|kids|adults|friends)\b"
    )
    if not found:
        return None
    first, second = number_of(found[1]), number_of(found[2])
    if not first or not second or first * second > 9_999_999:
        return None
    page.take_match("quantity", found)
    doubts.append(f"“{found[0]}” is read as {int(first * second)}.")
    return int(first * second)


def _boxes(page, doubts):
    found = page.find(rf"\b({NUMBER}){_SP}(?:boxes|bags|packs|sets|trays){_SP}of{_SP}({NUMBER})\b")
    if not found:
        return None
    first, second = number_of(found[1]), number_of(found[2])
    if not first or not second or first * second > 9_999_999:
        return None
    page.take_match("quantity", found)
    return int(first * second)


def _dozens(page, doubts):
    found = page.find(
        rf"{_ABOUT}\b(?:(half{_SP}(?:a{_SP})?|a{_SP}half{_SP})|({NUMBER})(?:{_SP}(?:to|or){_SP}|[ \t]?[-–][ \t]?)({NUMBER}){_SP}|({NUMBER})[ \t]{{0,3}}|"
        rf"((?:a{_SP})?couple{_SP}(?:of{_SP})?|a{_SP}few{_SP}|several{_SP})|an?{_SP})?"
        rf"(?:dozens?|doz\b\.?|dz\b)({_SP}and{_SP}a{_SP}half\b)?(?:{_SP}{NOUN}\b)?"
    )
    if not found:
        return None
    if found[1]:
        count = 0.5
    elif found[2]:
        count = max(number_of(found[2]) or 0, number_of(found[3]) or 0)
        doubts.append(f"“{found[0].strip()}” is read as {int(count * 12)}.")
    elif found[4]:
        count = number_of(found[4])
    elif found[5]:
        couple = "couple" in found[5].lower()
        count = 2 if couple else 3
        if not couple:
            doubts.append(f"“{found[0].strip()}” is read as 36.")
    else:
        count = 1
    count = (count or 0) + (0.5 if found[6] else 0)
    if not 0 < count * 12 <= 9_999_999:
        return None
    page.take_match("quantity", found)
    return int(count * 12 + 0.5)


def _counted(page, doubts):
    """24 cookies, about thirty iced biscuits, 20-30 favours; up to four words may stand between."""
    pattern = (
        rf"{_ABOUT}\b({NUMBER})(?:(?:{_SP}(?:to|or){_SP}|[ \t]?[-–][ \t]?)({NUMBER}))?(?:[ \t]?ish\b|\+)?[ \t]?x?"
        rf"(?P<gap>(?:[ \t]{{1,3}}[^\W\d_]{{1,20}}[,]?){{0,4}}?)[ \t]{{1,3}}{NOUN}\b"
    )
    for found in page.every(pattern):
        if TAKEN in found["gap"]:
            continue
        value = _one_of(found[1], found[2], found[0], doubts)
        if value is not None:
            end = found.start("gap")
            page.take("quantity", found.start(), end)
            noun = page.find(rf"\b{NOUN}\b")
            if noun:
                page.take_match("quantity", noun)
            return value
    return None


def _one_of(first, second, words, doubts):
    low, high = number_of(first), number_of(second) if second else None
    value = max(v for v in (low, high, 0) if v is not None)
    if value % 1 or not 0 <= value <= 9_999_999:
        return None
    if high is not None:
        doubts.append(f"“{words.strip()[:40]}” is read as {int(value)}.")
    return int(value)


def _times(page, doubts):
    found = page.find(r"\b(\d{1,7})[ \t]?[x×](?![\w])|(?<!\w)[x×][ \t]?(\d{1,7})\b")
    if not found:
        return None
    page.take_match("quantity", found)
    return int(found[1] or found[2])


def _and_more(page, at, value, doubts):
    """Twelve of these *and twelve of those*: the second count, 0 if there is none."""
    follow = re.compile(
        rf"(?:{_SP}[^\W\d_]{{2,20}}){{1,2}}[ \t]{{0,2}}(?:,|&|\+|{_SP}and\b|\band\b)[ \t]{{0,3}}(?:and{_SP})?({NUMBER})(?={_SP}[^\W\d_])(?!{_SP}(?:colou?rs|designs|names|shapes)\b)",
        re.IGNORECASE,
    )
    found = follow.match(page.rest, at)
    more = number_of(found[1]) if found else None
    if not more or more % 1 or value + more > 9_999_999:
        return 0
    page.take("quantity", found.start(1), found.end(1))
    doubts.append(f"{value} and {int(more)} are read as {int(value + more)} together.")
    return int(more)


def _left_over(page, doubts):
    """A number nobody else wanted: "about thirty for ...", "24 dinosaurs"."""
    for found in page.every(
        rf"{_ABOUT}(?<![\w.,/:£$€#+])({NUMBER})(?:(?:{_SP}(?:to|or){_SP}|[ \t]?[-–][ \t]?)({NUMBER}))?(?:[ \t]?ish\b|\+)?(?![\w/:%])"
    ):
        text = found[1].lower()
        if re.fullmatch(r"0\d+|\d{7}|one|zero|0", text):
            continue
        after = page.rest[found.end() : found.end() + 12].lower()
        if re.match(
            r"\s*(?:year|yr|month|week|day|hour|min|people|guest|mile|cm|mm|inch|in\b|g\b|kg|st\b|th\b)",
            after,
        ):
            continue
        value = _one_of(found[1], found[2], found[0], doubts)
        if value:
            page.take_match("quantity", found)
            return value + _and_more(page, found.end(), value, doubts)
    return None
