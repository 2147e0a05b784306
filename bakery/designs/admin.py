from django.contrib import admin

from .models import Design, Kind, Layer, LayerColour, StencilPiece, StencilSet, Variation


class LayerInline(admin.TabularInline):
    model = Layer
    extra = 0
    fields = ["position", "kind", "title", "wait", "minutes_per_cookie", "dots", "another_way"]
    show_change_link = True


class VariationInline(admin.TabularInline):
    model = Variation
    extra = 0


class LayerColourInline(admin.TabularInline):
    model = LayerColour
    extra = 0


class StencilPieceInline(admin.TabularInline):
    model = StencilPiece
    extra = 0


@admin.register(Kind)
class KindAdmin(admin.ModelAdmin):
    list_display = ["name", "key", "position", "minutes"]


@admin.register(Design)
class DesignAdmin(admin.ModelAdmin):
    list_display = ["name", "kind", "shape", "put_away"]
    list_filter = ["kind", "put_away"]
    list_select_related = ["kind"]
    search_fields = ["name"]
    prepopulated_fields = {"slug": ["name"]}
    inlines = [LayerInline, VariationInline]


@admin.register(Layer)
class LayerAdmin(admin.ModelAdmin):
    list_display = ["design", "position", "kind", "title"]
    list_select_related = ["design"]
    inlines = [LayerColourInline]


@admin.register(StencilSet)
class StencilSetAdmin(admin.ModelAdmin):
    list_display = ["name", "fits_width_mm", "fits_height_mm"]
    search_fields = ["name"]
    inlines = [StencilPieceInline]
