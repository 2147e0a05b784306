"""How many of each line in another version of an order, and what the version is called."""

from __future__ import annotations

from django import forms

from .data import OrderData
from .fields import Count, Line
from .forms import TOO_MANY
from .models import MOST_COOKIES, Order


class VersionForm(forms.Form):
    """A field for each line: `q-1`, and the title."""

    title = Line(longest=80, label="Call it")

    def __init__(self, *args, order: Order, **more):
        super().__init__(*args, **more)
        for row in order.lines.all():
            self.fields[f"q-{row.position}"] = Count(
                least=1, most=MOST_COOKIES, what="How many", label=row.title, too_many=TOO_MANY
            )

    @classmethod
    def of(cls, order: Order, data: OrderData, *, title: str = "", prefix: str):
        """As the version stands now."""
        places = {row.pk: row.position for row in order.lines.all()}
        counts = {f"q-{places[line.line]}": line.quantity for line in data.lines}
        return cls(initial=counts | {"title": title}, order=order, prefix=prefix)

    @property
    def quantities(self) -> dict[int, int]:
        """By the place of the line; an empty field leaves it as it is."""
        found = {int(name[2:]): value for name, value in self.cleaned_data.items() if name.startswith("q-")}
        return {place: count for place, count in found.items() if count}

    @property
    def counts(self):
        """The fields of the lines, as the page shows them."""
        return [self[name] for name in self.fields if name.startswith("q-")]
