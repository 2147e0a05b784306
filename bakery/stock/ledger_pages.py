"""What the pages of the books show: rows and words, made from bounded reads."""

from datetime import date, datetime
from decimal import Decimal

from django.db.models import BooleanField, ExpressionWrapper, F, Q
from django.utils import timezone

from . import ahead_words, ledger, ledger_queries, ledger_words
from .models import Move, Packet, StockItem
from .runout import words as runout_words
from .runout.picture import line_of

MOST_PACKETS = 60


def item_page(item: StockItem, now: datetime) -> dict:
    today = timezone.localdate(now)
    full, gone = list(ledger.packets_of(item)[:MOST_PACKETS]), ledger_queries.used_up(item)
    left = ledger.on_hand([item])[item.pk]
    want = ledger_queries.wanted(item, ledger_queries.needs_of(item, now))
    moves = ledger_queries.moves_of([*full, *gone])
    lead = ledger_words.item_lead(item, left, len(full), want, now)
    return {
        "nav": "cupboard",
        "item": item,
        "lead": lead,
        "level": picture_level(item, left),
        "packets": [packet_row(packet, today) for packet in full],
        "gone": [packet_row(packet, today) for packet in gone],
        "foot": foot_question(item, want, now)
        if ledger_queries.foot_decides(item, want, left, now)
        else None,
        "moves": move_rows(moves),
        "line": line_of(item, now),
        "facts": facts_of(item),
    }


def facts_of(item: StockItem) -> list[str]:
    """Pack, shop and label in short lines; what is not known is said too where it matters."""
    pack = ledger_words.much(item.pack_size, item.unit)
    said = [f"Comes in packs of {pack}" if item.pack_size > 1 else f"Kept in {item.get_unit_display()}"]
    if item.pack_price is not None:
        said[0] += f", {item.pack_price} each"
    days = f"{item.lead_days} day{'' if item.lead_days == 1 else 's'} on the way"
    said.append(f"{item.supplier or 'No shop named'}, {days}, {item.margin_days} to spare")
    if item.group in (StockItem.Group.DRY, StockItem.Group.FRESH):
        said.append(f"Allergens: {item.allergens}" if item.allergens else "Allergens: nobody has looked yet")
    if not item.edible:
        said.append("Not marked edible: keep it off what is eaten")
    return said


def picture_level(item: StockItem, left) -> float:
    """How full its bottle is drawn: by the books where amounts are kept, else by what she says."""
    if item.measured and item.pack_size > 1:
        return float(min(1, left / item.pack_size))
    return {"have": 0.75, "low": 0.2, "out": 0.0}[item.level]


def foot_question(item: StockItem, want, now: datetime) -> dict:
    """The two pictures, and what each answer means."""
    amount = runout_words.much(want.quantity, item.unit)
    foot = ledger_words.much(ledger.foot_amount(item), item.unit)
    day = ledger_words.day_words(want.at, now) if want.at else "soon"
    return {
        "item": item,
        "asks": f"{capital(day)} needs about {amount} of {item.name}"
        + (f", for {want.what_for}." if want.what_for else "."),
        "means": f"Above the label's foot there are about {foot} or more, and nothing to buy.",
    }


def packet_row(packet: Packet, today: date) -> dict:
    return {
        "packet": packet,
        "left": ledger_words.left(packet),
        "dates": ledger_words.dates(packet, today),
        "past": packet.left > 0 and ledger_words.past(packet, today),
    }


def move_rows(moves: list[Move]) -> list[dict]:
    titles = ledger_queries.titles_of(move.order for move in moves)
    rows = []
    for move in moves:
        undone = getattr(move, "undone_by", None)
        rows.append(
            {
                "move": move,
                "line": capital(ledger_words.move_line(move, move.packet.unit, titles)),
                "cost": f"{abs(move.cost):.2f}" if move.cost else "",
                "undone": undone is not None,
                "can_undo": undone is None and move.kind != Move.Kind.BACK,
            }
        )
    return rows


def packet_page(packet: Packet, now: datetime) -> dict:
    went = ledger.trace_packet(packet)
    titles = ledger_queries.titles_of({one.order for one in went})
    parts = Move.objects.filter(into=packet, kind=Move.Kind.USE, undone_by=None)
    return {
        "nav": "cupboard",
        "packet": packet,
        "full": float(packet.left / packet.quantity) if packet.quantity else 0.0,
        "title": ledger_words.title(packet),
        "left": ledger_words.much(packet.left, packet.unit),
        "came": ledger_words.much(packet.quantity, packet.unit),
        "dates": capital(ledger_words.dates(packet, timezone.localdate(now))),
        "from": ledger_words.where_from(packet),
        "past": packet.left > 0 and ledger_words.past(packet, timezone.localdate(now)),
        "went": [
            {
                "title": titles.get(one.order, (f"Order {one.order.lstrip('o')}", ""))[0],
                "url": titles.get(one.order, ("", ""))[1],
                "order": one.order,
                "much": ledger_words.much(one.quantity, one.packet.unit),
                "via": None if one.packet == packet else one.packet,
                "day": one.last,
            }
            for one in went
        ],
        "parts": [
            {"packet": part.packet, "much": ledger_words.much(part.quantity, part.packet.unit)}
            for part in parts.select_related("packet__item", "packet__colour")
        ],
        "moves": move_rows(ledger_queries.moves_of([packet])),
    }


def order_page(order: str, now: datetime) -> dict:
    """All packets of one order; those inside a mixed colour stand under it."""
    rows = ledger.trace_order(order)
    name, url = ledger_queries.titles_of({order}).get(order, (f"Order {order.lstrip('o')}", ""))
    return {
        "order": order,
        "title": name,
        "url": url,
        "rows": [
            {
                "packet": one.packet,
                "title": ledger_words.title(one.packet),
                "much": ledger_words.much(one.quantity, one.packet.unit),
                "into": one.into,
                "from": ledger_words.where_from(one.packet),
                "dates": ledger_words.dates(one.packet, timezone.localdate(now)),
            }
            for one in rows
        ],
    }


def all_packets(asked: str, today: date) -> dict:
    """Packets with something left, by thing; and those used up last."""
    gone = ExpressionWrapper(Q(left=0), output_field=BooleanField())
    rows = Packet.objects.select_related("item", "colour", "delivery")
    rows = rows.order_by(
        gone, "item__name", "colour__name", F("use_by").asc(nulls_last=True), "-came_on", "pk"
    )
    shown = [
        packet_row(packet, today) | {"title": ledger_words.title(packet)} for packet in rows[:MOST_PACKETS]
    ]
    return {
        "nav": "cupboard",
        "asked": asked,
        "packets": [row for row in shown if row["packet"].left > 0],
        "gone": [row for row in shown if row["packet"].left <= 0],
    }


def questions(now: datetime, shorts) -> dict:
    """What the cupboard asks her: one look at a bottle, and what the books did not know of."""
    asked: dict[tuple, list[Move]] = {}
    for move in ledger.flagged_moves()[:200]:
        asked.setdefault((move.packet.item_id, move.packet.colour_id), []).append(move)
    flags = [
        {
            "move": moves[0],  # the newest: its answer is for all of this thing
            "title": ledger_words.title(moves[0].packet),
            "line": capital(ledger_words.flag_line(moves, now)),
        }
        for moves in asked.values()
    ]
    return {"flags": flags[:6], "foot": _first_foot(now, shorts), "tubs": tub_rows(now)}


def tub_rows(now: datetime) -> list[dict]:
    """Mixed colours with something left, soonest to be used first; one query."""
    tubs = Packet.objects.filter(colour__isnull=False, left__gt=0).select_related("colour")
    return [
        packet_row(tub, timezone.localdate(now))
        | {"title": ledger_words.title(tub), "until": ahead_words.until_day(tub.use_by, now)}
        for tub in tubs[:12]
    ]


MOST_LOOKS = 4


def _first_foot(now: datetime, shorts) -> dict | None:
    """The one bottle whose amount decides soonest: said to be low, or by the books about what is wanted."""
    short = {one.item.pk: one for one in shorts.said}
    bottles = [one for one in shorts.outlooks if one.item.unit == StockItem.Unit.DROP]
    asked = [
        (one.first_at or short[one.item.pk].at, one) for one in bottles if one.wanted or one.item.pk in short
    ]
    asked.sort(key=lambda pair: (pair[0], pair[1].item.name))
    titles = ledger_queries.titles_of({key for _, one in asked for key in one.orders})
    for at, one in asked[:MOST_LOOKS]:
        if one.wanted:
            want = ledger_queries.Wanted(one.wanted, at, runout_words.names_of(one.orders, titles))
        else:
            want = ledger_queries.wanted(one.item, list(short[one.item.pk].needs))
        if ledger_queries.foot_decides(one.item, want, one.left or Decimal(0), now):
            return foot_question(one.item, want, now)
    return None


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]
