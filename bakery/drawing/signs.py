"""The house's own signs, on a 20 grid with 2.2 round strokes, always beside words."""

from .svg import frame

_MOON = "M16.8 12.1A7.3 7.3 0 1 1 8.4 3a6.4 6.4 0 0 0 8.4 9.1Z"
_TICK = "M3.8 10.6 8 14.8 16.2 5.4"
_TOOL = "M5.4 14.6 13 7M10.6 4.6l4.8 4.8"

_STROKE = (
    'fill="none" stroke="currentColor" stroke-width="2.2" stroke-linecap="round" stroke-linejoin="round"'
)


def _drawn(path: str, extra: str = "") -> str:
    return f'<path d="{path}" {_STROKE}{" " + extra if extra else ""}/>'


def _filled(path: str) -> str:
    return f'<path d="{path}" fill="currentColor"/>'


SIGNS: dict[str, str] = {
    "moon": _filled(_MOON) + _drawn(_MOON),
    "moon-hollow": _drawn(_MOON),
    "moon-dashed": _drawn(_MOON, 'stroke-dasharray="0.1 3.9"'),
    "tick": _drawn(_TICK),
    "tick-dashed": _drawn(_TICK, 'stroke-dasharray="2.6 3.6"'),
    "cross": _drawn("M4.6 4.6 15.4 15.4M15.4 4.6 4.6 15.4"),
    "question": _drawn("M6.4 6.8c.2-5 7.4-4.8 7.2-.4-.1 2.7-3.6 2.9-3.6 5.8M10 16.4h0"),
    "plus": _drawn("M10 3.5v13M3.5 10h13"),
    "minus": _drawn("M3.5 10h13"),
    "pennant": _drawn("M4.5 17.6V3.4") + _filled("M4.5 3.4 17 7.1 4.5 10.9Z"),
    "pennant-hollow": _drawn("M4.5 17.6V3.6L15.6 7 4.5 10.4"),
    "half": _drawn("M10 3a7 7 0 1 0 0 14 7 7 0 0 0 0-14Z") + _filled("M10 2.4a7.6 7.6 0 0 1 0 15.2Z"),
    "tool-out": _drawn("M10 3.2a6.8 6.8 0 1 0 .01 0Z") + _drawn("M2.8 17.2 17.2 2.8"),
    "ring": _drawn(
        "M4.2 4.2c-.6 6.6 5 12.2 11.6 11.6l.3-3.2-3.6-1.3-1.7 1.6C8.8 12 8 11.2 7.1 9.2l1.6-1.7L7.4 3.9Z"
    ),
    "copy": _drawn("M7.4 3.4h9.2v9.2H7.4Z") + _drawn("M12.2 16.6H3.4V7.8"),
    "kept": _drawn("M10 3v8.4M6.4 8.2 10 11.8l3.6-3.6M3.2 13.2v3.4h13.6v-3.4"),
    "look": _drawn("M8.6 3.2a5.4 5.4 0 1 0 .01 0ZM12.7 12.7l4.1 4.1"),
    "clock": _drawn("M10 2.8a7.2 7.2 0 1 0 .01 0ZM10 6v4.2l2.8 1.9"),
    "open": _drawn("M4 7.2 10 13.2l6-6"),
    "next": _drawn("M7.2 4 13.2 10l-6 6"),
}
SIGNS["moon-full"] = SIGNS["moon"]


def sign(name: str, *, size: float = 20) -> str:
    """One sign; KeyError names an unknown one. It is ornament: the words beside it carry the meaning."""
    return frame(size, size, SIGNS[name], cls="sign", view="0 0 20 20")


# The order's plaque, 18 x 22 with scooped corners: it fills up as the order goes on.
_PLAQUE = (
    "M5 1.4h8c0 1.9 1.5 3.4 3.4 3.4v12.4c-1.9 0-3.4 1.5-3.4 3.4H5c0-1.9-1.5-3.4-3.4-3.4V4.8C3.5 4.8 5 "
    "3.3 5 1.4Z"
)
_EDGE = 'fill="none" stroke="currentColor" stroke-width="1.9" stroke-linejoin="round"'
_SPECKS = (
    "M6 6h0M4.6 8.8h0M7.4 8.4h0M5.6 11.2h0M8.6 11h0M5 14h0M7.4 13.6h0M6.6 16.4h0M9.8 5.4h0M10.2 8h0"
    "M10.4 13.4h0M9.6 16.6h0M12.4 6.8h0M12.6 10.4h0M12.2 14.6h0M13.6 12.6h0M8.2 6.4h0M4.8 11.6h0"
)


def _plaque(inside: str = "", extra: str = "") -> str:
    return f'<path d="{_PLAQUE}" {_EDGE}{" " + extra if extra else ""}/>{inside}'


_SOLID = (
    f'<path d="{_PLAQUE}" fill="currentColor" stroke="currentColor" stroke-width="1.9" '
    f'stroke-linejoin="round"/>'
)
_SPECKLED = _plaque(
    f'<path d="{_SPECKS}" fill="none" stroke="currentColor" stroke-width="1.7" stroke-linecap="round"/>'
)
_STRUCK = _plaque('<path d="M1.5 20.5 16.5 1.5" fill="none" stroke="currentColor" stroke-width="2"/>')
_FLAGGED = (
    _SOLID
    + '<path d="M9-4v6M9-4l6.4 2.2L9 .6Z" fill="currentColor" stroke="currentColor" stroke-width="1.2" '
    'stroke-linejoin="round"/>'
)

STATES: dict[str, str] = {
    "enquiry": _plaque(extra='stroke-dasharray="2.2 2.4"'),
    "quoted": _plaque(),
    "held": _plaque('<path d="M4.6 14.8h8.8v3H4.6Z" fill="currentColor"/>'),
    "booked": _plaque('<path d="M4.6 11h8.8v6.8H4.6Z" fill="currentColor"/>'),
    "approved": _plaque('<path d="M4.6 8h8.8v9.8H4.6Z" fill="currentColor"/>'),
    "kitchen": _SPECKLED,
    "ready": _SOLID,
    "handed_over": _FLAGGED,
    "lapsed": _STRUCK,
    "declined": _STRUCK,
    "cancelled": _STRUCK,
    "moved": _plaque(
        '<path d="M6 11h6M9.6 8.2 12.4 11l-2.8 2.8" fill="none" stroke="currentColor" stroke-width="1.9"/>'
    ),
}
_OTHER_NAMES = {
    "in_the_kitchen": "kitchen",
    "in_kitchen": "kitchen",
    "proof_approved": "approved",
    "handed-over": "handed_over",
}


def state(name: str, *, size: float = 24) -> str:
    """The plaque of an order's state; an unknown state is drawn as an empty outline."""
    key = _OTHER_NAMES.get(name, name)
    flagged = key == "handed_over"
    view = "0 -5 18 27" if flagged else "0 0 18 22"
    height = size * 27 / 22 if flagged else size
    return frame(size * 18 / 22, height, STATES.get(key, STATES["quoted"]), cls="plaque-sign", view=view)


def mark(*, size: float = 32) -> str:
    """The house's mark: a plaque whose icing dries from the left."""
    specks = (
        "M8 8h0M8 10.5h0M8 13h0M8 15.5h0M8 18h0M10 7h0M10 9.4h0M10.2 11.8h0M10 14.2h0M10 16.6h0M10 "
        "19h0M12 8.2h0"
        "M12.2 10.6h0M12 13h0M12.2 15.4h0M12 17.8h0M14.2 7.2h0M14.4 9.8h0M14.2 14.6h0M14.6 18.4h0M16.6 12h0"
        "M16.8 16.2h0M19.2 9h0M19.4 18h0M20 13.6h0M23 7.6h0M22.6 16h0"
    )
    shape = (
        "M6.5 2.5h23v2a4 4 0 0 0 4 4h1.5v10.5h-1.5a4 4 0 0 0-4 4v2h-23v-2a4 4 0 0 0-4-4H1V8.5h1.5a4 4 0 "
        "0 0 4-4Z"
    )
    body = (
        f'<path d="{shape}" fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round"/>'
        f'<path d="{specks}" fill="none" stroke="currentColor" stroke-width="2" stroke-linecap="round"/>'
    )
    return frame(size * 36 / 28, size, body, cls="mark", view="0 0 36 27.5")
