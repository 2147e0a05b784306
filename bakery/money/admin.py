from django.contrib import admin

from bakery.studio.admin import ReadOnlyAdmin

from .models import OrderSum, Pace


@admin.register(OrderSum)
class OrderSumAdmin(ReadOnlyAdmin):
    list_display = ("order", "on", "made", "brought", "cost", "thought", "took", "owed")
    list_filter = ("made", "for_stock")
    search_fields = ("order__title", "order__number")
    date_hierarchy = "on"
    list_select_related = ("order",)


@admin.register(Pace)
class PaceAdmin(ReadOnlyAdmin):
    list_display = ("work", "factor", "at", "rests_on", "undone_at")
