# ruff: noqa: E501  (a pattern cut in two is harder to read than a long one)
"""What surrounds the cookies: allergies, budget, occasion, and the way they are handed over."""

import re

from .days import SOMEBODYS
from .page import Page

__all__ = ["read_allergies", "read_budget", "read_event", "read_way", "read_wording", "take_address"]

_SP = r"[ \t]{1,3}"
FOODS = (
    r"tree nuts?|peanuts?|nuts?|almonds?|hazelnuts?|walnuts?|cashews?|pistachios?|eggs?|milk|dairy|lactose|butter|"
    r"gluten|wheat|soya?|sesame|shellfish|fish|mustard|celery|lupin|sulphites?|coconut|food colouring|colourings?"
)
_FOOD_LIST = rf"(?:{FOODS})(?:(?:[ \t]*[,/&+]{{1,2}}[ \t]*(?:and{_SP}|or{_SP})?|{_SP}(?:and|or|nor|&){_SP})(?:no{_SP})?(?:{FOODS}))*"


def read_allergies(page: Page) -> tuple[str, ...]:
    """Foods to keep out, in small letters; ("none",) when the message says there is no allergy."""
    none = page.find(
        rf"\bno(?:{_SP}known)?{_SP}allerg(?:y|ies)\b|\ballerg(?:y|ies)[ \t:]{{1,3}}(?:none|no)\b|\bnot allergic\b"
    )
    if none:
        page.take_match("allergies", none)
        return ("none",)
    found: list[str] = []
    forms = (
        rf"\b(?:no|without|not any|avoid|free from|free of){_SP}(?:any{_SP})?({_FOOD_LIST})\b(?:,?{_SP}please\b)?",
        rf"\ballerg(?:ic|y|ies)\b(?:{_SP}(?:to|is|are|of)|[ \t]{{0,2}}:)?[ \t]{{0,3}}({_FOOD_LIST})\b",
        rf"\b({_FOOD_LIST})[ \t-]{{1,3}}(?:allerg(?:y|ies)|intoleran(?:t|ce)|free)\b",
        r"\b(vegan|coeliac|celiac)\b",
    )
    for form in forms:
        for match in page.every(form):
            page.take_match("allergies", match)
            found += re.findall(rf"\b(?:{FOODS}|vegan|coeliac|celiac)\b", match[1].lower())
    return tuple(dict.fromkeys(found))


def read_budget(page: Page) -> int | None:
    """An amount of money the customer names, in whole units; it is never a number of cookies."""
    found = page.find(
        r"(?:\b(?:budget|up to|under|around|about|max)[ \t:]{1,3}(?:of[ \t]{1,3}|is[ \t]{1,3})?)?(?:[£$€][ \t]?(\d{1,6})(?:\.\d\d)?\b|"
        r"\b(\d{1,6})[ \t]?(?:quid|pounds|gbp|euros?|dollars|usd|€|£)(?![a-z]))"
    )
    if not found:
        return None
    page.take_match("budget", found)
    return int(found[1] or found[2])


_OCCASIONS = (
    r"birthday(?:[ \t]{1,3}party)?|bday(?:[ \t]{1,3}party)?|wedding(?:[ \t]{1,3}(?:breakfast|favou?rs|reception))?|anniversary|baby[ \t]{1,3}shower|"
    r"bridal[ \t]{1,3}shower|hen[ \t]{1,3}(?:do|party|weekend)|christening|baptism|naming[ \t]{1,3}day|retirement(?:[ \t]{1,3}(?:do|party))?|"
    r"leaving[ \t]{1,3}(?:do|party)|graduation|engagement(?:[ \t]{1,3}party)?|housewarming|funeral|wake|christmas(?:[ \t]{1,3}(?:party|fair|market))?|"
    r"xmas(?:[ \t]{1,3}party)?|easter|halloween(?:[ \t]{1,3}party)?|valentine'?s|mother'?s day|father'?s day|fete|fair|bake[ \t]{1,3}sale|"
    r"prize[ \t]{1,3}(?:night|giving)|supper|dinner(?:[ \t]{1,3}party)?|tea[ \t]{1,3}party|garden[ \t]{1,3}party|party|reunion|conference|"
    r"chess[ \t]{1,3}weekend|regatta|launch|open[ \t]{1,3}day|opening"
)
_KIN = "mum|mom|mother|dad|father|nan|gran|grandma|grandad|son|daughter|sister|brother|wife|husband|partner|friend|boss|aunt|uncle|niece|nephew|cousin"
_WHOSE = rf"(?:(?:my|his|her|our|their|your|the|a|an)[ \t]{{1,3}})?(?:[^\W\d_]{{1,20}}(?:'s|’s|s'|s’)|(?:{_KIN})s?)[ \t]{{1,3}}"


def read_event(page: Page) -> str:
    """The occasion in the customer's words: "my mum's 60th", "baby shower"; "" if none is named."""
    forms = (
        rf"\b{_WHOSE}(?:\d{{1,3}}(?:st|nd|rd|th)[ \t]{{1,3}})?(?:{_OCCASIONS})\b",
        rf"\b{_WHOSE}\d{{1,3}}(?:st|nd|rd|th)\b",
        rf"\b(?:(?:my|his|her|our|their|a|an)[ \t]{{1,3}})?\d{{1,3}}(?:st|nd|rd|th)[ \t]{{1,3}}(?:{_OCCASIONS})\b",
        rf"{SOMEBODYS}{_SP}\d{{1,3}}(?:st|nd|rd|th)\b",
        rf"\b(?:{_OCCASIONS})\b",
    )
    for form in forms:
        found = page.find(form)
        if found:
            page.take_match("event", found)
            return re.sub(r"^(?:for\s+)?(?:(?:the|a|an)\s+)?", "", found[0], flags=re.IGNORECASE)
    return ""


_WAYS = (
    ("posted", r"\b(?:by[ \t]{1,3})?(?:post(?:ed|ing)?|mail(?:ed)?|courier|shipped)\b(?![ \t]?code)"),
    ("delivered", r"\bdeliver(?:ed|y|ing)?\b|\bdrop(?:ped)?[ \t]{1,3}(?:off|round)\b"),
    ("collected", r"\b(?:collect(?:ed|ion|ing)?|pick(?:ed)?[ \t-]{0,2}up|picking[ \t]up)\b"),
    ("stall", r"\b(?:market[ \t]{1,3})?stall\b"),
)


def read_way(page: Page) -> str | None:
    """How they are handed over, where it is said."""
    for way, pattern in _WAYS:
        found = page.find(pattern)
        if found:
            page.take_match("way", found)
            return way
    return None


def read_wording(page: Page) -> str:
    """Words in double quotes are to stand on the cookies as they are."""
    found = page.find(r"[“\"«„]([^\"“”«»\n]{1,80})[\"”»“]")
    if not found or not any(c.isalpha() for c in found[1]):
        return ""
    page.take_match("wording", found)
    return found[1].strip()


_STREETS = (
    "Street|St|Road|Rd|Lane|Avenue|Ave|Close|Way|Steps|Place|Hill|Row|Terrace|Drive|Quay|Square|Crescent"
)


def take_address(page: Page) -> None:
    """A house number is no number of cookies."""
    found = page.find(
        rf"\b\d{{1,4}}[a-z]?,?[ \t]{{1,3}}(?:[A-Z][^\W\d_]{{1,20}}[ \t]{{1,3}}){{1,3}}(?:{_STREETS})\b", 0
    )
    if found:
        page.take_match("address", found)
