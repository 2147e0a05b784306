"""Numbers as people write them: "24", "two dozen", "about thirty", "a couple dozen", "1,000"."""

import re

__all__ = ["NUMBER", "WORDS", "number_of"]

_SMALL = """zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen
sixteen seventeen eighteen nineteen"""
_TENS = """twenty thirty forty fifty sixty seventy eighty ninety"""
WORDS = {word: i for i, word in enumerate(_SMALL.split())}
WORDS |= {word: 10 * i for i, word in enumerate(_TENS.split(), 2)}
WORDS |= {"fourty": 40, "fourtheen": 14, "ninty": 90}
"""Number words with their values; a few common slips of the pen included."""
SCALES = {"hundred": 100, "thousand": 1000}
_WORD = "(?:" + "|".join(sorted((*WORDS, *SCALES), key=len, reverse=True)) + ")"
NUMBER = (
    rf"(?:\d{{1,3}}(?:,\d{{3}}){{1,2}}|\d{{1,7}}(?:\.\d{{1,2}})?|"
    rf"(?:an?[ \t]{{1,3}})?{_WORD}\b(?:(?:[ \t]{{1,3}}and[ \t]{{1,3}}|[ \t-]{{1,3}}){_WORD}\b){{0,6}})"
)
"""Pattern of one number in digits or words."""


def number_of(text: str) -> float | None:
    """Value of a number in digits or English words ("one hundred and twenty", "1,000"); None if none."""
    text = text.strip().lower()
    if re.fullmatch(r"\d{1,3}(?:,\d{3}){1,2}", text):
        return float(text.replace(",", ""))
    if re.fullmatch(r"\d{1,7}(?:\.\d{1,2})?", text):
        return float(text)
    total = part = 0
    seen = False
    for word in re.split(r"[\s-]+", text):
        if word in ("and", "a", "an", ""):
            continue
        if word in WORDS:
            part, seen = part + WORDS[word], True
        elif word == "hundred":
            part, seen = max(1, part) * 100, True
        elif word == "thousand":
            total, part, seen = total + max(1, part) * 1000, 0, True
        else:
            return None
    return float(total + part) if seen else None
