"""Cleanings, drops and orders of colours in her words. Pure functions."""

from decimal import Decimal

from bakery.production import words

NB = words.NB


def about(minutes: float) -> str:
    """To the nearest half minute: "half a minute", "1 min", "4.5 min"."""
    halves = max(1, round(2 * minutes))
    if halves == 1:
        return "half a minute"
    return f"{halves / 2:g}{NB}min"


def clean_words(minutes: float, before: str, added: bool) -> str:
    """What to do before a filling."""
    if not before:
        return "Start with a clean cup."
    if minutes == 0:
        return "It is in the cup already: top up."
    if added:
        return f"No cleaning: add the drops to the {words.small(before)} in the cup."
    return f"Clean first, {about(minutes)}."


def run_words(run) -> str:
    """How much cleaning the order takes, and whether any other would take less."""
    count = sum(step.clean_before > 0 for step in run.steps)
    if not count:
        return "No cleaning between."
    said = (
        f"{words.capital(words.counted(count, 'change'))} of colour, {about(run.cleaning)} of cleaning in all"
    )
    if count == 1 and run.proved:
        return f"{said}."
    if run.proved:
        return f"{said}. No other order takes less."
    return f"{said}, within {about(run.cleaning - run.least)} of the least that any order could take."


def millilitres(colour, drops: int) -> Decimal:
    """By each bottle's own drops; 20 to the millilitre where nothing is said."""
    rows = [row for row in colour.parts.all() if row.drops]
    whole = sum(row.drops for row in rows)
    if not whole:
        return Decimal(drops) / 20
    return sum(Decimal(drops) * row.drops / whole / row.item.drops_per_ml for row in rows)


def drops_words(drops: int, ml: Decimal) -> str:
    return f"{words.counted(drops, 'drop')}, {ml:.1f}{NB}mL"
