"""Offcuts of wafer sheets are packets of their own; what is on hand, counted in sheets, stays the same."""

from decimal import Decimal
from uuid import uuid4

import pytest
from django.utils import timezone

from bakery.stock import ledger
from bakery.stock.models import Move, Packet
from bakery.stock.offcuts import keep_offcuts, kept_offcuts
from tests.factories import StockItemFactory, StudioFactory

pytestmark = pytest.mark.django_db
A4 = (210.0, 297.0)


@pytest.fixture
def paper():
    StudioFactory()
    item = StockItemFactory(name="Wafer paper, A4", group="wafer", unit="sheet", measured=True)
    line = ledger.ReceiveLine(item, Decimal(25), Decimal("8.50"))
    ledger.receive(supplier="", on=timezone.localdate(), lines=[line], token=uuid4())
    return item


def keep(item, token="today", cuts=((139.0, 297.0), (105.0, 148.5))):
    return keep_offcuts(item=item, sheet=A4, cuts=cuts, token=token)


def test_an_offcut_is_a_packet_with_its_size_and_its_share(paper):
    wide, small = keep(paper)
    assert [(p.width_mm, p.height_mm) for p in (wide, small)] == [(139, 297), (105, 148)]
    assert small.left == Decimal("0.250")
    assert small.cost == small.cost_left
    assert [one.code for one in kept_offcuts()] == [small.code, wide.code]


def test_nothing_comes_or_goes_by_keeping(paper):
    before = sum(packet.cost_left for packet in Packet.objects.all())
    keep(paper)
    assert ledger.on_hand([paper])[paper.pk] == 25
    assert sum(packet.cost_left for packet in Packet.objects.all()) == before == Decimal("8.50")
    for packet in Packet.objects.all():
        assert packet.left == sum(move.quantity for move in packet.moves.all())
        assert packet.cost_left == sum(move.cost for move in packet.moves.all())
    assert not Move.objects.filter(flagged=True).exists()


def test_kept_twice_is_kept_once(paper):
    assert [p.pk for p in keep(paper)] == [p.pk for p in keep(paper)]
    assert len(kept_offcuts()) == 2
    keep(paper, token="tomorrow")
    assert len(kept_offcuts()) == 4


def test_one_used_up_is_not_offered_again(paper):
    wide, _ = keep(paper)
    ledger.waste(packet=wide, quantity=wide.left, reason="crumpled")
    assert wide.code not in [one.code for one in kept_offcuts()]
