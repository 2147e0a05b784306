"""Every write to the cupboard: one function, one transaction, safe to repeat."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from .models import Colour, Level, LevelMark, StockItem


@transaction.atomic
def mark_level(*, item: StockItem, level: str, at: datetime | None = None) -> LevelMark | None:
    """What she says there is. Saying the same again adds nothing."""
    if level not in Level.values:
        raise ValidationError("Say have, low or out.")
    item = StockItem.objects.select_for_update().get(pk=item.pk)
    if item.level == level:
        return None
    mark = LevelMark.objects.create(item=item, level=level, before=item.level, at=at or timezone.now())
    item.level = level
    item.save(update_fields=["level"])
    return mark


@transaction.atomic
def undo_mark(*, item: StockItem, mark_id: int, at: datetime | None = None) -> LevelMark | None:
    """Put back what was said before a mark, as a mark of its own; only the newest one can be undone."""
    newest = item.marks.first()
    if newest is None or newest.pk != mark_id:
        return None
    return mark_level(item=item, level=newest.before, at=at)


@transaction.atomic
def add_item(*, name: str, group: str, level: str = Level.HAVE, **more) -> StockItem:
    """Something new in the cupboard. The same name in the same group is the one there is."""
    name = " ".join(name.split())
    twin = StockItem.objects.filter(name__iexact=name).first()
    if twin and twin.group == group:
        return twin
    if twin:
        where = twin.get_group_display()
        raise ValidationError(
            {"name": f"{twin.name} is here already, under {where}. Give this one its own name."}
        )
    item = StockItem(name=name, group=group, level=level, **more)
    item.full_clean()
    item.save()
    return item


@transaction.atomic
def change_item(*, item: StockItem, **facts) -> StockItem:
    """What its packet says, where it comes from, how long it takes."""
    item = StockItem.objects.select_for_update(no_key=True).get(pk=item.pk)
    for name, value in facts.items():
        setattr(item, name, value)
    item.full_clean()
    item.save(update_fields=list(facts))
    return item


def refuse_thick_parts(*, medium: str, item: StockItem) -> None:
    if medium == Colour.Medium.AIRBRUSH and item.group in (StockItem.Group.GEL, StockItem.Group.DUST):
        raise ValidationError(
            {"parts": f"{item.name} is no airbrush colour: gel and paste clog the nozzle and stay tacky."}
        )
