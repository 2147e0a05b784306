from django.contrib import admin

from bakery.studio.admin import ReadOnlyAdmin

from .models import (
    AheadUse,
    Colour,
    ColourPart,
    Delivery,
    LevelMark,
    MadeAhead,
    Move,
    Packet,
    Reserve,
    StockItem,
)


@admin.register(StockItem)
class StockItemAdmin(admin.ModelAdmin):
    list_display = ["name", "group", "level", "pack_size", "unit", "pack_price", "supplier"]
    list_filter = ["group", "level"]
    search_fields = ["name", "supplier"]


class ColourPartInline(admin.TabularInline):
    model = ColourPart
    extra = 0
    autocomplete_fields = ["item"]


@admin.register(Colour)
class ColourAdmin(admin.ModelAdmin):
    list_display = ["name", "medium", "hex", "rest_hours"]
    list_filter = ["medium"]
    search_fields = ["name"]
    inlines = [ColourPartInline]


@admin.register(LevelMark)
class LevelMarkAdmin(ReadOnlyAdmin):
    """Marks are only ever added to, and only from the cupboard."""

    list_display = ["item", "before", "level", "at"]
    list_select_related = ["item"]


class AheadUseInline(admin.TabularInline):
    model = AheadUse
    extra = 0


@admin.register(MadeAhead)
class MadeAheadAdmin(admin.ModelAdmin):
    list_display = ["what", "shape", "quantity", "place", "made_on", "keeps_until", "for_order"]
    list_filter = ["what", "place"]
    inlines = [AheadUseInline]


@admin.register(Delivery)
class DeliveryAdmin(ReadOnlyAdmin):
    list_display = ["on", "supplier", "note"]


@admin.register(Packet)
class PacketAdmin(ReadOnlyAdmin):
    """Packets and moves are only ever written by the books (`bakery.stock.ledger`)."""

    list_display = ["code", "item", "colour", "left", "cost_left", "use_by", "origin"]
    list_select_related = ["item", "colour"]
    search_fields = ["code", "maker_lot"]


@admin.register(Move)
class MoveAdmin(ReadOnlyAdmin):
    list_display = ["at", "packet", "kind", "quantity", "cost", "order", "flagged"]
    list_select_related = ["packet__item", "packet__colour"]
    list_filter = ["kind", "flagged"]


@admin.register(Reserve)
class ReserveAdmin(ReadOnlyAdmin):
    list_display = ["order", "item", "quantity", "firm", "wanted_at"]
    list_select_related = ["item"]
