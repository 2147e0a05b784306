"""What her timings of cleaning say, and how many they rest on."""

from dataclasses import dataclass

from bakery.production import words
from bakery.stock.airbrush import cleaning
from bakery.stock.models import CleaningTime

from .saying import about

LIGHT, DARK = ("yellow", "#f2cf3c"), ("navy", "#223660")
SHOWN = 12


@dataclass(frozen=True)
class Timings:
    sentence: str
    example: str
    rows: tuple[CleaningTime, ...]
    counting: int


def timings() -> Timings:
    """Three queries."""
    from bakery.craft.airbrush import Paint, clean_minutes

    figures = cleaning()
    light, dark = (Paint(*pair) for pair in (LIGHT, DARK))
    darker, lighter = clean_minutes(light, dark, figures), clean_minutes(dark, light, figures)
    rows = list(CleaningTime.objects.order_by("-at", "-pk")[:SHOWN])
    counting = CleaningTime.objects.filter(refused=False).count()
    if figures.timings:
        count = words.counted(figures.timings, "timing")
        said = f"These minutes rest on {count} of yours, held near the usual ones."
    else:
        said = "These minutes are the usual ones; none of yours yet. Five timings are enough."
    example = f"Yellow then navy {about(darker)}, navy then yellow {about(lighter)}."
    return Timings(said, example, tuple(rows), counting)
