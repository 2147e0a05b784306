# ruff: noqa: E501  (a pattern cut in two is harder to read than a long one)
"""Names to letter: after a word that announces them, one a line, or a row of them with commas."""

import re

from .numbers import NUMBER, number_of
from .page import TAKEN, Page

__all__ = ["names_in", "read_names", "read_some_names"]

MOST_NAMES = 2000
_CUE = (
    r"\b(?:with[ \t]{1,3})?(?:the[ \t]{1,3})?(?:following[ \t]{1,3})?(?:their[ \t]{1,3})?"
    r"(?:names?(?:[ \t]{1,3}(?:are|list|on|to letter|on them))?|named|called|personalised (?:with|for)|"
    r"personalized (?:with|for)|lettered|lettering|initials(?:[ \t]{1,3}are)?)"
    r"[ \t]{0,3}[:\-–]?\s{0,3}"
)
_NAME = r"[^\W\d_][^\W\d_'’.\-]{0,24}(?:['’.\- ]{1,2}[^\W\d_][^\W\d_'’\-]{0,24}){0,3}"
_NOT_NAMES = {
    "cookies", "cookie", "biscuits", "please", "pls", "thanks", "thank", "on", "each", "and", "with", "in", "for",
    "the", "hi", "hello", "dear", "colours", "colour", "stencil", "plain", "no", "yes", "we", "i", "you", "it",
    "saturday", "sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "dozen", "about", "can", "could",
    "would", "like", "need", "want", "white", "red", "blue", "green", "pink", "gold", "navy", "black", "happy",
    "birthday", "wedding", "christmas", "collection", "delivery", "thankyou", "to", "by", "at", "them", "list",
}  # fmt: skip


def names_in(text: str) -> tuple[str, ...]:
    """Names in a pasted list: one a line, or with commas, semicolons, "and" or "&"; numbering is dropped.

    At most 2,000 names of at most 60 characters. Doubles are kept: two people may share a name.
    """
    parts = re.split(r"[\n\r\t;,•]|\s&\s|\s\+\s|(?:^|\s)and\s", text[: 60 * MOST_NAMES], flags=re.IGNORECASE)
    found = []
    for part in parts[: MOST_NAMES * 2]:
        name = re.sub(r"^\s*(?:\d{1,4}[.)]\s*|[-*–]\s+)", "", part).strip(' .:"“”()!?' + TAKEN)
        if name and any(c.isalpha() for c in name) and TAKEN not in name:
            found.append(" ".join(name[:60].split()))
    return tuple(found[:MOST_NAMES])


def read_names(page: Page) -> tuple[tuple[str, ...], bool | int]:
    """The names, and how many are wanted: a count, True for one on each cookie, False if none are spoken of."""
    each: bool | int = False
    without = page.find(r"\b(?:no|without)[ \t]{1,3}(?:names?|lettering|writing)\b")
    if without:
        page.take_match("names", without)
        return (), False
    every = page.find(
        r"\b(?:one|a|an|each with(?:[ \t]{1,3}(?:one|a))?|different)[ \t]{1,3}(?:different[ \t]{1,3})?names?"
        r"(?:[ \t]{1,3}(?:on[ \t]{1,3})?each)?\b|\bnames?[ \t]{1,3}on[ \t]{1,3}(?:each|every|all|them)\b"
    )
    if every and not re.match(r"one[ \t]+name$", every[0], re.IGNORECASE):
        page.take_match("names", every)
        each = True
    elif every:
        page.take_match("names", every)
        each = 1
    else:
        count = page.find(rf"\b({NUMBER})[ \t]{{1,3}}(?:different[ \t]{{1,3}})?names\b")
        value = number_of(count[1]) if count else None
        if count and value and 0 < value <= 100_000 and value % 1 == 0:
            each = int(value)
            if not re.match(r"\s*[:\n]", page.rest[count.end() :]):  # else the list itself follows
                page.take_match("names", count)
    names = _after_cue(page) or _row(page)
    if not names and each is False:
        theirs = page.find(r"\bwith[ \t]{1,3}(?:(?:their|the|all|guests'?)[ \t]{1,3}){0,2}names\b")
        if theirs:
            page.take_match("names", theirs)
            each = True
    return names, each


def read_some_names(page: Page) -> str:
    """The words by which names are wanted on part of them: neither how many nor which is said."""
    part = r"(?:some|a few|a couple|half|most|part)"
    found = page.find(
        rf"\bnames?[ \t]{{1,3}}(?:on|for)[ \t]{{1,3}}{part}(?:[ \t]{{1,3}}of[ \t]{{1,3}}(?:them|these))?\b"
        rf"|\b{part}[ \t]{{1,3}}(?:of[ \t]{{1,3}}them[ \t]{{1,3}})?with[ \t]{{1,3}}(?:a[ \t]{{1,3}})?names?\b"
    )
    if not found or re.match(r"\s*[:\n]", page.rest[found.end() :]):  # else the list itself follows
        return ""
    page.take_match("names", found)
    return found[0]


def _after_cue(page: Page) -> tuple[str, ...]:
    for cue in page.every(_CUE):
        tail = page.rest[cue.end() : cue.end() + 60 * MOST_NAMES]
        end, names = _row_at(tail, least=1)
        if names:
            page.take("names", cue.start(), cue.end() + end)
            return names
    return ()


def _row(page: Page) -> tuple[str, ...]:
    """Three or more capitalised names in a row, without anything to announce them."""
    for start in page.every(r"(?:(?<=^)|(?<=[\s:(–-]))(?=[^\W\d_a-z])", 0)[:400]:
        if page.rest[start.end() : start.end() + 1].islower():
            continue
        end, names = _row_at(page.rest[start.end() :][:20_000], least=3)
        if names:
            page.take("names", start.end(), start.end() + end)
            return names
    return ()


def _row_at(text: str, least: int) -> tuple[int, tuple[str, ...]]:
    """Names from the beginning of `text` on, and where they end."""
    names, at, end = [], 0, 0
    pattern = re.compile(
        rf"({_NAME})(\s*[.!?]?\s*\n\s*|\s*[,;&+/]\s*(?:and\s+|&\s*)?|\s+and\s+|\s*)", re.IGNORECASE
    )
    while len(names) < MOST_NAMES:
        found = pattern.match(text, at)
        if not found:
            break
        name, gap = found[1].strip(" .-"), found[2]
        words = name.split()
        first_bad = next((i for i, w in enumerate(words) if w.lower().strip(".") in _NOT_NAMES), None)
        capital = [
            w for w in words if w[:1].isupper() or w.lower() in ("de", "van", "von", "da", "del", "la")
        ]
        if first_bad == 0 or (first_bad is None and len(capital) < len(words) and not words[0][:1].isupper()):
            break
        if first_bad is not None or len(capital) < len(words):
            joined = " ".join(words)
            halves = re.split(r"\s+and\s+", joined)
            keep = [w for w in halves if all(x[:1].isupper() for x in w.split())]
            if len(halves) > 1 and len(keep) == len(halves):
                names += keep
                at = end = found.end()
                if not gap.strip() and "and" not in gap and "\n" not in gap:
                    break
                continue
            keep = []
            for word in words:
                if not word[:1].isupper() or word.lower() in _NOT_NAMES:
                    break
                keep.append(word)
            if keep:
                names.append(" ".join(keep))
                end = at + text[at:].find(keep[-1]) + len(keep[-1])
            break
        names.append(name)
        end = at + len(found[1])
        at = found.end()
        if not gap.strip() and "\n" not in gap:
            break
    return (end, tuple(names)) if len(names) >= least else (0, ())
