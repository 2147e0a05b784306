"""Cleaning what was typed or pasted, before anything reads it: what cannot be seen cannot do harm."""

import re

from bakery.studio.typed import clean


def one_line(text) -> str:
    """`text` on one line, with single spaces."""
    return " ".join(clean(text).split())


def capital(text: str) -> str:
    """`text` with its first letter large; the rest as it is."""
    return text[:1].upper() + text[1:]


def plural(count: int, one: str, many: str = "") -> str:
    """`1 name`, `2 names`."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


_NUMBERED = re.compile(r"^\s*(?:\d{1,3}[.):]|[-*•–])\s+")
_BETWEEN = re.compile(r"[,;\n\t]+|\s+[/|]\s+")


def names_of(text) -> tuple[str, ...]:
    """A pasted list as single names: one a line, or parted by commas, semicolons or tabs."""
    parts = (_NUMBERED.sub("", part) for part in _BETWEEN.split(clean(text)))
    return tuple(name for name in (" ".join(part.split()) for part in parts) if name)


def doubled(names) -> list[str]:
    """Names that stand more than once, in the order in which the second one came."""
    seen, twice = set(), []
    for name in names:
        key = name.casefold()
        if key in seen and key not in (other.casefold() for other in twice):
            twice.append(name)
        seen.add(key)
    return twice
