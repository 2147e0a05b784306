"""The books in her words: how much is left, what a packet is, what a move was."""

from datetime import date
from decimal import Decimal

from django.utils import timezone

from .models import Move, Packet, StockItem
from .words import day as day_words

ONE = {"drop": "drop", "piece": "piece", "sheet": "sheet"}


def much(quantity: Decimal, unit: str) -> str:
    """71 drops, 1 piece, 240 g, 1.5 kg: as few figures as it takes. Nobody counts parts of many drops."""
    quantity = abs(quantity)
    if unit in ("g", "ml") and quantity >= 1000:
        return f"{plain(quantity / 1000, 2)} {'kg' if unit == 'g' else 'l'}"
    if unit in ("g", "ml"):
        return f"{plain(quantity, 1 if quantity < 10 else 0)} {unit}"
    shown = plain(quantity, 0 if unit == "drop" and quantity >= 10 else 1)
    return f"{shown} {ONE[unit]}{'' if shown == '1' else 's'}"


def plain(quantity: Decimal, places: int) -> str:
    text = f"{quantity:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def left(packet: Packet) -> str:
    """What is left of it; an offcut by its size."""
    if packet.width_mm and packet.left == packet.quantity:
        return f"an offcut, {packet.width_mm} x {packet.height_mm} mm"
    return much(packet.left, packet.unit)


def on_day(when: date, today: date) -> str:
    """5 November, with the year when it is another."""
    return f"{when.day} {when:%B}" + (f" {when.year}" if when.year != today.year else "")


def title(packet: Packet) -> str:
    return str(packet.item or packet.colour)


def dates(packet: Packet, today: date) -> str:
    """Came, opened, best before; what is past is said first."""
    if packet.origin == Packet.Origin.FOUND:
        return "used before it was entered"
    word = "kept" if packet.width_mm else "mixed" if packet.origin == Packet.Origin.MADE else "came"
    said = [f"{word} {on_day(packet.came_on, today)}"]
    if packet.opened_on:
        said.append(f"opened {on_day(packet.opened_on, today)}")
    if packet.use_by:
        word = "keeps until" if packet.origin == Packet.Origin.MADE else "best before"
        if packet.use_by != packet.best_before:
            word = "use up by"
        said.append(f"{word} {on_day(packet.use_by, today)}")
    return ", ".join(said)


def past(packet: Packet, today: date) -> bool:
    return packet.use_by is not None and packet.use_by < today


def where_from(packet: Packet) -> str:
    if packet.width_mm:
        return "Cut from a sheet here."
    if packet.origin == Packet.Origin.MADE:
        return "Mixed here."
    if packet.origin == Packet.Origin.FOUND:
        return "More was used than the books knew of: which packet it was, nobody wrote down."
    shop = packet.delivery.supplier if packet.delivery_id else ""
    return f"From {shop}." if shop else "Bought."


def move_line(move: Move, unit: str, titles: dict) -> str:
    """One line of the books."""
    amount = much(move.quantity, unit)
    order = titles.get(move.order, ("",))[0] or (f"order {move.order.lstrip('o')}" if move.order else "")
    if move.kind == Move.Kind.COUNT:
        if not move.quantity:
            return "counted: as the books say"
        return f"counted: {amount} {'more' if move.quantity > 0 else 'less'} than the books said"
    if move.kind == Move.Kind.BACK:
        return f"{amount} {'put back' if move.quantity >= 0 else 'taken out again'}"
    if move.kind == Move.Kind.USE:
        into = f"into {move.into.code}" if move.into_id else ""
        goal = into or (f"for {order}" if order else "")
        return f"{amount} used {goal}".strip()
    if move.kind == Move.Kind.WASTE:
        return f"{amount} thrown away: {move.reason}"
    return f"{amount} {'mixed' if move.kind == Move.Kind.MAKE else 'came'}"


def item_lead(item: StockItem, left: Decimal, packets: int, want, now) -> str:
    """How much there is, what booked orders ask of it, and what open quotes would."""
    if not item.measured:
        said = f"You say: {item.get_level_display()}. Amounts are kept from the first delivery or count on."
    elif left:
        where = "one packet" if packets == 1 else f"{packets} packets"
        said = f"{much(left, item.unit)} left, in {where}."
    else:
        said = "Nothing left, by the books."
    if want.quantity and want.at:
        said += (
            f" Booked orders want about {much(want.quantity, item.unit)}, from {day_words(want.at, now)} on."
        )
    if want.quoted:
        more = " more" if want.quantity else ""
        said += f" Open quotes would take about {much(want.quoted, item.unit)}{more}."
    return said


def flag_line(moves: list[Move], now) -> str:
    """What the books did not know of, all of one thing together; the newest move first."""
    total = sum(move.quantity for move in moves)
    today, last = timezone.localdate(now), timezone.localdate(moves[0].at)
    days = (today - last).days
    when = ("today", "yesterday")[days] if 0 <= days < 2 else f"by {on_day(last, today)}"
    return f"{much(total, moves[0].packet.unit)} more went in {when} than the books knew of."
