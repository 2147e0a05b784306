# ruff: noqa: E501  (a pattern cut in two is harder to read than a long one)
"""How they are to look: designs, colours, kind of cookie, and the words for what is on them."""

import re

from .numbers import NUMBER, number_of
from .page import Page

__all__ = ["read_colours", "read_design_words", "read_designs", "read_kind"]

_SP = r"[ \t]{1,3}"
COLOURS = """
white ivory cream bone beige sand gold golden silver grey gray charcoal black brown tan chocolate
terracotta red burgundy maroon crimson scarlet coral peach orange mustard yellow lemon lime green sage
mint olive emerald forest teal turquoise aqua blue navy cobalt sky slate indigo lilac lavender purple
violet plum mauve pink blush rose magenta fuchsia ochre rust
"""
_TINT = (
    r"(?:(?:light|dark|pale|baby|royal|dusky|hot|pastel|deep|bright|navy|sky|sage|forest|rose)[ \t]{1,3})?"
)
_COLOUR = rf"{_TINT}(?:{'|'.join(sorted(COLOURS.split(), key=len, reverse=True))})\b"


def read_designs(page: Page) -> int | None:
    """How many designs: "two designs", "3 different shapes"."""
    found = page.find(
        rf"\b({NUMBER}|a couple of|a few){_SP}(?:different{_SP}|separate{_SP})?(?:designs?|shapes?|patterns?|styles?|motifs?)\b"
    )
    if not found:
        return None
    value = {"a couple of": 2.0, "a few": 3.0}.get(found[1].lower()) or number_of(found[1])
    if not value or not 1 <= value <= 1000 or value % 1:
        return None
    page.take_match("designs", found)
    return int(value)


def read_colours(page: Page) -> tuple[int | None, tuple[str, ...], bool]:
    """Count and names of the colours, and whether a two-coloured cookie is meant."""
    two = page.find(
        r"\b(?:two|2)[ \t-]{1,3}(?:tone|toned)\b|\btwo-colou?r(?:ed)?\b(?!s)|\b(?:two|2)[ \t]{1,3}colou?r(?:ed)?\b(?!s)"
    )
    if two:
        page.take_match("colours", two)
    count = None
    found = page.find(
        rf"\b(?:in{_SP})?({NUMBER}|a couple of|a few){_SP}(?:different{_SP})?colou?rs\b|\bone{_SP}colou?r\b"
    )
    if found:
        word = (found[1] or "one").lower()
        value = {"a couple of": 2.0, "a few": 3.0}.get(word) or number_of(word)
        if value and 1 <= value <= 100 and value % 1 == 0:
            page.take_match("colours", found)
            count = int(value)
    names = []
    for match in page.every(rf"\b{_COLOUR}"):
        names.append(" ".join(match[0].lower().split()))
        page.take_match("colours", match)
        if len(names) >= 24:
            break
    names = tuple(dict.fromkeys(names))
    return count or (2 if two else None) or (len(names) or None), names, bool(two)


def read_kind(page: Page, two_tone: bool, names: bool) -> str | None:
    """Which of the six kinds the words mean; names on them win over a mere look."""
    stencil = page.find(
        r"\bstencil(?:l?ed|s)?\b(?:[ \t]{1,3}(?:look|style|effect))?|\bair[ \t-]?brush(?:ed)?\b"
    )
    detail = page.find(
        r"\b(?:with[ \t]{1,3})?(?:piped[ \t]{1,3})?(?:dots|details?|detailing|piping|beads|borders?)\b"
    )
    fine = page.find(
        r"\b(?:very|super|really|highly|extra)[ \t]{1,3}(?:detailed|intricate|fancy)\b|\bintricate\b|\belaborate\b|"
        r"\bhand[ \t-]?painted\b|\bportraits?\b"
    )
    letters = page.find(
        r"\b(?:letter(?:ed|ing)|personali[sz]ed|initials?|monogram(?:s|med)?|writing|place[ \t]?cards?|saying)\b"
    )
    plain = page.find(r"\b(?:plain|simple|basic|single colou?r)\b(?:[ \t]{1,3}ones?\b)?")
    chosen: list = []
    if fine:
        kind, chosen = "very_detailed", [fine]
    elif stencil:
        kind, chosen = ("stencil_detail", [stencil, detail]) if detail else ("stencil", [stencil])
    elif names or letters:
        kind, chosen = "lettered", [letters]
    elif two_tone:
        kind = "two_colour"
    elif plain:
        kind, chosen = "plain", [plain]
    else:
        return None
    for match in chosen:
        # "place cards" is counted too, so the words stay readable for the quantity
        if match is not None and not (kind == "lettered" and "card" in match[0].lower()):
            page.take_match("kind", match)
    return kind


_STOP = """
a about adults after afternoon again all allergies allergy also an and any are around as asap at bag
bagged bags be before big birthday biscuit biscuits boss both box boxes boy boys but by call can cheers
children collected color colors colour colours coming cookie cookies cost could couple dad dads daughter
daughters day days dear decorated delivered design designs detail details did different do does dots dozen
each effect eight eighteen eighty eleven evening every favour favourite favours few fifteen fifty five
follow following for forty four fourteen friend friends from get girl girls got guest guests had half has
have he hello her here hey hi him his hiya hope how hundred husband i i'm iced if im in is it it's its
just kids kind know lady large last let like list long look looking lot lots love made make making many
may maybe me mini month more much mum mums my name names nan nans need needing needs next nine nineteen
ninety no not of off office ok okay old on one ones or order ordering our out party people person piped
please pls plz possible possibly price quarter quite quote ready really regards same school seven
seventeen seventy shape shaped shapes she similar since six sixteen sixty small so some son sons sort
space style sugar ta table tall ten than thank thanks that the their them theme themed then there these
they thirteen thirty this thousand three time to too twelve twenty two type until up us very want was we
we're week what when where which while who whose wife will with wondering word words work would x xx xxx
year years yes you your zero
"""


def read_design_words(page: Page) -> str:
    """What is to be on them, from the words left over: "fern", "dinosaurs". At most four words."""
    found, start, end, stop = [], None, None, frozenset(_STOP.split())
    for match in re.finditer(r"[^\W\d_][^\W\d_'’-]{1,24}", page.rest[:2000]):
        word = match[0]
        if word.lower().strip("'’-") in stop:
            continue
        if found and (end is None or page.rest[end : match.start()].strip(" ,&-").lower() not in ("", "and")):
            break
        start = match.start() if start is None else start
        found.append(word)
        end = match.end()
        if len(found) == 4:
            break
    if not found:
        return ""
    page.take("design_words", start, end)
    return " ".join(found)
