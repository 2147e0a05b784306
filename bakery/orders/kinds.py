"""The six kinds as rows: made at the first need, so that an order can be taken in an empty house."""

from bakery.craft.work import KIND_TITLES
from bakery.designs.models import Kind


def kind_rows() -> dict[str, Kind]:
    """Every kind by its key, in order."""
    rows = {kind.key: kind for kind in Kind.objects.all()}
    for position, (key, title) in enumerate(KIND_TITLES.items()):
        if key not in rows:
            rows[key] = Kind.objects.get_or_create(key=key, defaults={"name": title, "position": position})[0]
    return rows
