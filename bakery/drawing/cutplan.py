"""A sheet of wafer paper with what is cut from it, to scale. Black and white, for it is mostly printed."""

from .svg import frame, num, paint, rect, text, width_of

FOOT = 14  # mm below the sheet for the measure


def cut_sheet(sheet, marks, *, width: float = 420, label: str = "") -> str:
    """An SVG; `width` pixels for the sheet's width.

    sheet: a bakery.craft.packing.Sheet, mm from its lower left corner. marks: a short text for each piece by
    its number, which stands in it where there is room.
    """
    body = rect(0, 0, sheet.width, sheet.height, paint("sheet", "ink", 0.8), r=0)
    body += "".join(_offcut(cut, sheet.height) for cut in sheet.offcuts)
    body += "".join(_piece(one, sheet.height, marks.get(one.piece, "")) for one in sheet.placed)
    body += _measure(sheet)
    view = f"-1 -1 {num(sheet.width + 2)} {num(sheet.height + FOOT + 2)}"
    scale = width / sheet.width
    return frame(
        sheet.width * scale, (sheet.height + FOOT) * scale, body, title=label, cls="d cutplan", view=view
    )


def _piece(one, high: float, mark: str) -> str:
    y = high - one.y - one.height
    body = rect(one.x, y, one.width, one.height, paint("biscuit", "ink", 0.5), r=0)
    return body + _words(one.x, y, one.width, one.height, mark, 7.5)


def _offcut(cut, high: float) -> str:
    y = high - cut.y - cut.height
    look = paint(stroke="edge", width=0.5, extra='stroke-dasharray="2.5 2"')
    words = f"{cut.width:.0f} x {cut.height:.0f}"
    inner = rect(cut.x + 0.8, y + 0.8, cut.width - 1.6, cut.height - 1.6, look, r=0)
    return inner + _words(cut.x, y, cut.width, cut.height, words, 6)


def _words(x, y, wide, high, words: str, most: float) -> str:
    """In the middle, as large as it goes; nothing where it would be too small to read."""
    if not words:
        return ""
    turn = high > wide * 1.4
    along, across = (high, wide) if turn else (wide, high)
    size = min(most, across * 0.62, most * (along - 2) / max(width_of(words, most), 0.1))
    if size < 2.6:
        return ""
    if turn:
        return text(
            x + wide / 2 + size * 0.34,
            y + high / 2 + width_of(words, size) / 2,
            words,
            size=round(size, 1),
            turn=True,
        )
    return text(x + wide / 2, y + high / 2 + size * 0.34, words, size=round(size, 1), anchor="middle")


def _measure(sheet) -> str:
    """Five centimetres: what a ruler checks after printing."""
    y = sheet.height + 6
    bar = f"M0 {num(y - 2)}v4M0 {num(y)}h50M50 {num(y - 2)}v4"
    return f'<path d="{bar}" {paint(stroke="ink", width=0.6)}/>' + text(53, y + 2.2, "5 cm", size=6.5)
