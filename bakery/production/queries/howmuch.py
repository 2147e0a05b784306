"""What the page of amounts says first."""

from bakery.craft.amounts import Amounts
from bakery.stock.recipe_words import grams

from .. import words
from ..amounts.chosen import Chosen
from ..amounts.groups import round_up


def headline(chosen: Chosen, need: Amounts) -> tuple[str, str]:
    """The largest amounts as one sentence, and what it is for."""
    parts = []
    if need.dough.batches:
        parts.append(f"{words.counted(need.dough.batches, 'batch', 'batches')} of dough")
    fresh = sum(bag.fresh for bag in need.icing)
    if fresh > 0:
        colours = len({bag.colour for bag in need.icing if bag.fresh > 0})
        parts.append(f"{grams(round_up(fresh))} of icing in {words.counted(colours, 'colour')}")
    if need.drops:
        parts.append(f"{sum(need.drops.values())} drops in the airbrush")
    if not parts and need.packed:
        parts.append(f"{words.counted(need.packed, 'cookie')} to pack")
    if not parts:
        return f"Nothing to mix {chosen.when}.", "What is done is not counted again."
    said = words.capital(words.listed(parts))
    return f"{said} {chosen.when}.", "Spares and what stays in bags, bowls and cup are counted in."
