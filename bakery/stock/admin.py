from django.contrib import admin

from bakery.studio.admin import ReadOnlyAdmin

from .models import AheadUse, Colour, ColourPart, LevelMark, MadeAhead, StockItem


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
