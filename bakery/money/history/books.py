"""Invented packets and moves: each item comes in packets, and every order takes a little of many of them."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from uuid import UUID

from bakery.stock.models import Delivery, Move, Packet, StockItem

EACH = Decimal("0.28")
"""About so much money goes into a dozen cookies in one move."""
BIG = 40
"""A packet lasts about so many orders, as in a kitchen that buys by the case."""


@dataclass
class Shelf:
    """One item's packets, the newest last; quantities in thousandths, money in pence."""

    item: StockItem
    size: int
    price: int
    each: int
    packet: Packet | None = None
    left: int = 0
    worth: int = 0


def _shelf(item: StockItem) -> Shelf:
    price = item.pack_price or Decimal(1)
    each = int(item.pack_size * 1000 * EACH / price)
    return Shelf(item, int(item.pack_size * 1000), int(price * 100), max(1, each))


@dataclass
class Books:
    """Packets and moves as they come about, oldest first. Packets are saved before their moves."""

    items: list[StockItem]
    seed: int
    deliveries: list[Delivery] = field(default_factory=list)
    packets: list[Packet] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)

    def __post_init__(self):
        self.rng = random.Random(self.seed)
        self.shelves = [_shelf(item) for item in self.items]

    def order(self, key: str, at: datetime, cookies: int, uses: int) -> None:
        """So many moves for one order."""
        for shelf in self.rng.sample(self.shelves, min(uses, len(self.shelves))):
            much = int(shelf.each * cookies / 12 * self.rng.uniform(0.6, 1.4))
            self._take(shelf, max(1, much), key, at)

    def _take(self, shelf: Shelf, amount: int, key: str, at: datetime) -> None:
        if amount > shelf.left:
            amount = shelf.left or amount
        if not shelf.left:
            self._come(shelf, at, amount)
        left = shelf.left - min(amount, shelf.left)
        packet = shelf.packet
        worth = int(packet.cost * 100) * left // int(packet.quantity * 1000)
        self._move(shelf, Move.Kind.USE, left - shelf.left, worth - shelf.worth, at, key)

    def _come(self, shelf: Shelf, at: datetime, least: int) -> None:
        day = at.date() - timedelta(days=3)
        packs = max(2, -(-least // shelf.size), BIG * shelf.each // shelf.size)
        delivery = self._delivery(shelf.item.supplier, day)
        number = len(self.packets) + 1
        shelf.packet = Packet(
            item=shelf.item, code=f"H{number}", origin=Packet.Origin.BOUGHT, delivery=delivery, came_on=day,
            best_before=day + timedelta(days=400), use_by=day + timedelta(days=400), opened_on=day,
            quantity=Decimal(packs * shelf.size) / 1000, cost=Decimal(packs * shelf.price) / 100,
        )  # fmt: skip
        self.packets.append(shelf.packet)
        self._move(
            shelf, Move.Kind.RECEIVE, packs * shelf.size, packs * shelf.price, at - timedelta(days=3), ""
        )

    def _delivery(self, supplier: str, day: date) -> Delivery:
        last = self.deliveries[-1] if self.deliveries else None
        if last is None or (last.supplier, last.on) != (supplier, day):
            last = Delivery(supplier=supplier, on=day, token=UUID(int=self.rng.getrandbits(128)))
            self.deliveries.append(last)
        return last

    def _move(self, shelf: Shelf, kind: str, amount: int, worth: int, at: datetime, key: str) -> None:
        shelf.left += amount
        shelf.worth += worth
        shelf.packet.left, shelf.packet.cost_left = Decimal(shelf.left) / 1000, Decimal(shelf.worth) / 100
        self.moves.append(Move(packet=shelf.packet, kind=kind, quantity=Decimal(amount) / 1000,
                               cost=Decimal(worth) / 100, at=at, order=key))  # fmt: skip
