"""The six kinds of cookie are always there: put in after every migration, never overwritten."""

KEYS = ("plain", "two_colour", "stencil", "stencil_detail", "lettered", "very_detailed")

USUAL_COLOURS = {
    "plain": 1,
    "two_colour": 2,
    "stencil": 2,
    "stencil_detail": 3,
    "lettered": 2,
    "very_detailed": 4,
}
"""How many colours a kind has at least, when nobody says (common practice, no source)."""


def seed_kinds(using="default", **kwargs) -> None:
    """Put in the kinds that are missing; names and minutes she changed stay hers."""
    from bakery.craft.work.kinds import KIND_TITLES

    from .models import Kind

    there = set(Kind.objects.using(using).values_list("key", flat=True))
    Kind.objects.using(using).bulk_create(
        [Kind(key=key, name=KIND_TITLES[key], position=number) for number, key in enumerate(KEYS)
         if key not in there],
        ignore_conflicts=True,
    )  # fmt: skip
