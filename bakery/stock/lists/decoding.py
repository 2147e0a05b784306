"""Bytes of a file as text, whatever it was saved in, and what had to be guessed."""

from bakery.studio.typed import clean

MOST_BYTES = 1_000_000
KINDS = (
    (b"PK\x03\x04", "That is a spreadsheet or an archive, no table as text. Save it as CSV and pick that."),
    (b"\xd0\xcf\x11\xe0", "That is an old spreadsheet. Save it as CSV and pick that file."),
    (b"%PDF", "That is a PDF. The lines in it can be copied and pasted below."),
    (b"\x89PNG", "That is a picture. Type the lines below."),
    (b"\xff\xd8\xff", "That is a picture. Type the lines below."),
)  # fmt: skip
GUESSED = (
    "The file does not say how its letters are written. It is read as Western European, which is a guess: "
    "look at words with accents."
)


class Unreadable(ValueError):
    """No text can be made of it; the message says why, in her words."""


def text_of(content: bytes) -> tuple[str, str]:
    """The text, and a sentence about what was guessed ("" where nothing was). Raises Unreadable."""
    if len(content) > MOST_BYTES:
        raise Unreadable(f"That file is larger than {MOST_BYTES // 1_000_000} MB. Bring it in in parts.")
    for start, sentence in KINDS:
        if content.startswith(start):
            raise Unreadable(sentence)
    text, guess = _decoded(content)
    return clean(text), guess


def _decoded(content: bytes) -> tuple[str, str]:
    wide = _wide(content)
    if wide:
        try:
            return content.decode(wide), ""
        except UnicodeDecodeError:
            raise Unreadable(
                "That file breaks off in the middle of a letter. Save it again as UTF-8."
            ) from None
    if b"\x00" in content:
        raise Unreadable("That is no text. A table saved as CSV can be read.")
    try:
        return content.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        pass
    try:
        return content.decode("cp1252"), GUESSED
    except UnicodeDecodeError:
        return content.decode("latin-1"), GUESSED


def _wide(content: bytes) -> str:
    """utf-16 where the file says so, or where every other byte is empty."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    head = content[:400]
    if len(head) >= 4 and head.count(0) >= len(head) * 0.3:
        odd, even = head[1::2].count(0), head[0::2].count(0)
        return "utf-16-le" if odd > even else "utf-16-be"
    return ""
