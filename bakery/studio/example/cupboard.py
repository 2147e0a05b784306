"""The example's packets: a few deliveries, what past orders took of them, two tubs, and one thing to be asked
about. All invented, and booked through the same services as her own.
"""

from datetime import date, timedelta
from decimal import Decimal
from uuid import NAMESPACE_URL, uuid5

from bakery.orders.models import Order, State
from bakery.stock import ledger
from bakery.stock.models import Colour, Level, StockItem

# days before the first evening, shop, then: item, quantity, packets, cost, days that it keeps from then, lot
BEFORE = (
    (38, "Quillet Colours", (
        ("Leaf green, airbrush", "400", 1, "5.20", 540, "LG-2231"),
        ("Bone, airbrush", "400", 1, "5.60", 540, "BN-1874"),
        ("Brown, airbrush", "400", 1, "5.20", 480, "BR-0912"),
        ("Sea blue, airbrush", "400", 1, "5.20", 540, "SB-4410"),
        ("Ivory gel", "700", 1, "3.40", 700, "IV-77"),
        ("Navy gel", "700", 1, "3.40", 700, "NV-52"),
        ("Black gel", "700", 1, "3.40", 700, "BK-09"),
        ("Moss gel", "700", 1, "3.40", 650, "MS-18"),
        ("Wafer paper, A4", "25", 1, "8.50", 300, "WP-3"),
    )),
    (30, "Tollgate Paper", (
        ("Bags, small", "200", 1, "9.60", None, ""),
        ("Boxes of 24", "10", 1, "10.50", None, ""),
    )),
    (17, "Capstan Stores", (
        ("Icing sugar", "9000", 3, "13.05", 400, "K 114"),
        ("Meringue powder", "450", 1, "12.90", 320, "MP-60"),
        ("Flour", "4500", 3, "3.30", 210, ""),
        ("Caster sugar", "2000", 2, "2.70", 500, ""),
        ("Butter", "750", 3, "6.45", 45, ""),
    )),
)  # fmt: skip
AFTER = (
    (3, "Capstan Stores", (
        ("Butter", "1000", 4, "8.80", 45, ""),
        ("Eggs", "24", 2, "6.40", 24, ""),
        ("Icing sugar", "3000", 1, "4.45", 420, "K 131"),
    )),
)  # fmt: skip

# what each of the last orders handed over took, by the cookie: item, amount
TOOK = (
    ("Flour", "17"), ("Butter", "8.5"), ("Caster sugar", "7"), ("Icing sugar", "21"),
    ("Meringue powder", "0.9"), ("Ivory gel", "0.7"), ("Bags, small", "1"),
)  # fmt: skip
KEEP_OPEN = {"Butter": 28, "Meringue powder": 180, "Wafer paper, A4": 120}
PAST_ORDERS = 4
NAVY = (("Icing sugar", "72"), ("Meringue powder", "3"), ("Navy gel", "12.6"), ("Black gel", "1.8"))


def fill_packets(dates) -> None:
    """After the orders: some of the packets went into them."""
    items = {item.name: item for item in StockItem.objects.all()}
    for name, days in KEEP_OPEN.items():
        StockItem.objects.filter(name=name).update(keeps_open_days=days)
    marks = {item.pk: item.level for item in items.values()}
    items = {item.name: item for item in StockItem.objects.all()}
    for days, shop, lines in BEFORE:
        _receive(dates.day(-days), shop, lines, items)
    _use(dates, items)
    for days, shop, lines in AFTER:
        _receive(dates.day(-days), shop, lines, items)
    _tubs(dates, items)
    for pk, level in marks.items():  # what she said last still stands
        StockItem.objects.filter(pk=pk).update(level=level)
    StockItem.objects.filter(name__in=["Icing sugar", "Butter"]).update(level=Level.HAVE)


def _receive(on: date, shop: str, lines, items) -> None:
    said = []
    for name, quantity, packs, cost, keeps, lot in lines:
        until = on + timedelta(days=keeps) if keeps else None
        said.append(ledger.ReceiveLine(items[name], Decimal(quantity), Decimal(cost), until, lot, packs))
    token = uuid5(NAMESPACE_URL, f"example {shop} {on}")
    ledger.receive(supplier=shop, on=on, lines=said, token=token, today=on)


def _use(dates, items) -> None:
    """The last orders, each the evening before its hand-over; the last took more butter than they knew of."""
    done = Order.objects.filter(state=State.HANDED_OVER, hand_over_at__gte=dates.at(-30, "00:00"))
    done = list(done.prefetch_related("lines").order_by("-hand_over_at")[:PAST_ORDERS])
    for order in reversed(done):
        cookies = sum(line.quantity for line in order.lines.all())
        uses = [ledger.Use(items[name], Decimal(each) * cookies, order.key) for name, each in TOOK]
        uses += [ledger.Use(items[name], Decimal(cookies) * 2 // 3, order.key)
                 for name in ("Leaf green, airbrush", "Bone, airbrush")]  # fmt: skip
        ledger.use_many(uses=uses, at=order.hand_over_at - timedelta(hours=20), token=f"example {order.key}")
    bottle = items["Leaf green, airbrush"]
    left = ledger.packets_of(bottle).first()
    if left is not None:
        ledger.count(packet=left, quantity=14, at=dates.at(-3, "20:15"), token="example leaf")
    paper = ledger.packets_of(items["Wafer paper, A4"]).first()
    ledger.waste(
        packet=paper, quantity=2, reason="went soft", at=dates.at(-4, "21:00"), token="example wafer"
    )


def _tubs(dates, items) -> None:
    colours = {colour.name: colour for colour in Colour.objects.filter(medium=Colour.Medium.ICING)}
    ledger.make(
        colour=colours["Navy"], quantity=90, place="fridge", best_before=dates.day(4),
        at=dates.at(-1, "21:30"), parts=[(items[name], Decimal(part)) for name, part in NAVY],
        token="example navy",
    )  # fmt: skip
    ledger.make(colour=colours["Slate"], quantity=30, place="fridge", best_before=dates.day(4),
                at=dates.at(-1, "21:32"), token="example slate")  # fmt: skip
