"""The text being read: what is understood is marked, so that nothing is read twice."""

import re
from dataclasses import dataclass

__all__ = ["LIMIT", "Page", "Used"]

LIMIT = 20_000
"""Characters that are read; nobody's order is longer, and reading stays quick whatever is pasted."""
TAKEN = "\x00"
"""Stands for understood characters: neither a space nor part of a word."""


@dataclass(frozen=True)
class Used:
    """Words that were understood: as what, where in the text, and the words themselves."""

    what: str
    start: int
    end: int
    words: str


class Page:
    """A text and, of equal length, what of it is not yet understood."""

    def __init__(self, text: str):
        self.text = text[:LIMIT].replace(TAKEN, " ")
        self.rest = self.text
        self.used: list[Used] = []

    def find(self, pattern: str, flags: int = re.IGNORECASE):
        """The first match in what is left; None if there is none."""
        return re.search(pattern, self.rest, flags)

    def every(self, pattern: str, flags: int = re.IGNORECASE):
        """All matches in what is left."""
        return list(re.finditer(pattern, self.rest, flags))

    def take(self, what: str, start: int, end: int) -> None:
        """Mark the words from `start` to `end` as understood."""
        while start < end and self.text[start].isspace():
            start += 1
        while end > start and self.text[end - 1].isspace():
            end -= 1
        if end > start:
            self.used.append(Used(what, start, end, self.text[start:end]))
            self.rest = self.rest[:start] + TAKEN * (end - start) + self.rest[end:]

    def rename(self, mark: int, what: str) -> None:
        """Say that what was read as one thing is another."""
        old = self.used[mark]
        self.used[mark] = Used(what, old.start, old.end, old.words)

    def before(self, mark: int, length: int) -> str:
        """The text just before and within a mark, back to the end of the sentence before."""
        used = self.used[mark]
        return re.split(r"[.;!?\n]\s", self.text[max(0, used.start - length) : used.end])[-1]

    def take_match(self, what: str, match) -> None:
        """Mark a whole match as understood."""
        self.take(what, match.start(), match.end())
