"""Each layer keeps a number among those of its kind, from which its jobs take their ids: a layer added, moved
or taken off never hands work that was done to another. Numbers are written down at the first change of a
design; until then they follow from the order of the layers, and no number is given twice.
"""

from .adapters import layers_of
from .models import Design, Layer


def pin_numbers(design: Design) -> None:
    """Write down the numbers that the layers' jobs have now. Called before anything about layers changes."""
    rows = list(design.layers.order_by("position"))
    bare = [row for row in rows if not row.number]
    if not bare:
        return
    if len(bare) == len(rows):  # those that head a run are counted today; those that join one come after
        heads = dict(zip(rows, _heads(design), strict=True))
        bare.sort(key=lambda row: not heads[row])
    for row in bare:
        row.number = next_number(design, row.kind)
    Layer.objects.bulk_update(bare, ["number"])


def next_number(design: Design, kind: str) -> int:
    """A number that no layer of this kind ever had in this design."""
    design = Design.objects.select_for_update().get(pk=design.pk)
    number = int(design.numbers.get(kind, 0)) + 1
    Design.objects.filter(pk=design.pk).update(numbers=design.numbers | {kind: number})
    return number


def _heads(design: Design) -> list[bool]:
    """For each layer whether jobs of its own begin with it: a spray that may follow at once joins the run."""
    fresh = Design.objects.prefetch_related("layers").get(pk=design.pk)
    found, last = [], ""
    for layer in layers_of(fresh):
        found.append(not (layer.kind == last == "spray" and layer.wait == ""))
        last = layer.kind
    return found
