"""Marks are only ever added to; saying the same twice adds nothing."""

import pytest
from django.core.exceptions import ValidationError

from bakery.stock import services
from bakery.stock.colour_book import Part, save_colour
from bakery.stock.models import Level, LevelMark, StockItem
from tests import factories as make

pytestmark = pytest.mark.django_db


def test_a_mark_remembers_what_was_said_before():
    item = make.StockItemFactory()
    mark = services.mark_level(item=item, level="out")
    item.refresh_from_db()
    assert (item.level, mark.before, mark.level) == (Level.OUT, Level.HAVE, Level.OUT)


def test_the_same_mark_twice_is_one_mark():
    item = make.StockItemFactory()
    services.mark_level(item=item, level="low")
    assert services.mark_level(item=item, level="low") is None
    assert LevelMark.objects.count() == 1


def test_undo_adds_a_mark_and_takes_none_away():
    item = make.StockItemFactory()
    mark = services.mark_level(item=item, level="out")
    services.undo_mark(item=item, mark_id=mark.pk)
    item.refresh_from_db()
    assert item.level == Level.HAVE
    assert LevelMark.objects.count() == 2


def test_only_the_newest_mark_is_undone_and_only_once():
    item = make.StockItemFactory()
    first = services.mark_level(item=item, level="low")
    second = services.mark_level(item=item, level="out")
    assert services.undo_mark(item=item, mark_id=first.pk) is None
    services.undo_mark(item=item, mark_id=second.pk)
    assert services.undo_mark(item=item, mark_id=second.pk) is None
    item.refresh_from_db()
    assert item.level == Level.LOW


def test_there_are_three_words_and_no_others():
    with pytest.raises(ValidationError, match="have, low or out"):
        services.mark_level(item=make.StockItemFactory(), level="plenty")


def test_adding_the_same_thing_twice_keeps_one():
    one = services.add_item(name="Gold  dust", group="dust")
    assert services.add_item(name="gold dust", group="dust") == one
    with pytest.raises(ValidationError, match="Gold dust is here already"):
        services.add_item(name="Gold dust", group="packing")
    assert StockItem.objects.count() == 1


def test_an_airbrush_colour_cannot_be_mixed_from_gel():
    gel = make.StockItemFactory(name="Moss gel", group="gel")
    with pytest.raises(ValidationError, match="clog the nozzle"):
        save_colour(name="Moss", medium="airbrush", hex="#445566", parts=[Part(gel, 4)])
    moss = save_colour(name="Moss", medium="icing", hex="#445566", parts=[Part(gel, 4)])
    assert moss.parts.get().drops == 4
