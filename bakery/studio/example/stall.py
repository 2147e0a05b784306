"""The example's stall: three Saturdays on the quay behind it, and a few cookies that stand ready."""

from datetime import timedelta
from decimal import Decimal
from uuid import NAMESPACE_URL, uuid5

from bakery.designs.adapters import drawing_of
from bakery.stock.models import AheadUse, MadeAhead, StallDay, StallLine

from .orders import variation_of

PLACE = "Ostrey quay"
KEEPS = 10
# design, base, made, price each; then for each day out: days ago, taken, sold, brought back
PACKETS = (
    ("Plain round", "Bone", 24, "2.40", ((18, 20, 18, 1), (11, 5, 5, 0))),
    ("Ammonite", "Bone", 18, "4.20", ((11, 18, 16, 0),)),
    ("Plain round", "Sage", 24, "2.40", ((4, 20, 17, 2),)),
    ("Pole star burgee", "Navy", 12, "3.80", ((4, 6, 5, 1),)),
)


def fill_stall(dates, designs: dict) -> None:
    """Packets with their days out; what is left stands ready."""
    days: dict[int, StallDay] = {}
    for at, (name, base, made, price, outs) in enumerate(PACKETS):
        item = _packet(at, designs[name], base, made, Decimal(price), max(ago for ago, *_ in outs), dates)
        for ago, taken, sold, back in outs:
            _out(days, item, dates, ago, taken, sold, back)


def _packet(at, design, base, made, price, oldest, dates) -> MadeAhead:
    variation = variation_of(design, base)
    made_on = dates.at(-oldest - 1, "20:30")
    return MadeAhead.objects.create(
        what=MadeAhead.What.FINISHED,
        shape=f"{design.name}, {variation.base.name}" if variation else design.name,
        quantity=made,
        made_on=made_on,
        since=made_on,
        keeps_until=dates.day(-oldest - 1) + timedelta(days=KEEPS),
        price_each=price,
        drawing=drawing_of(design, variation),
    )


def _out(days, item, dates, ago, taken, sold, back) -> None:
    if ago not in days:
        days[ago] = StallDay.objects.create(
            token=uuid5(NAMESPACE_URL, f"example stall {dates.day(-ago)}"),
            on=dates.day(-ago),
            place=PLACE,
            came_back_at=dates.at(-ago, "15:00"),
        )
    use = AheadUse.objects.create(
        item=item, reason=AheadUse.Reason.SOLD, quantity=taken - back, used=True, at=dates.at(-ago, "15:00")
    )
    StallLine.objects.create(
        day=days[ago], item=item, use=use, taken=taken, sold=sold, back=back, price_each=item.price_each
    )
