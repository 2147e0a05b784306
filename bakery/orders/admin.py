from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from bakery.studio.admin import ReadOnlyAdmin, ReadOnlyInline

from .models import Name, Order, OrderLine, Payment, Quote, StateChange


class LineInline(admin.TabularInline):
    model = OrderLine
    extra = 0


class NameInline(admin.TabularInline):
    model = Name
    extra = 0


class ChangeInline(ReadOnlyInline):
    model = StateChange


@admin.register(Order)
class OrderAdmin(SimpleHistoryAdmin):
    list_display = ("number", "title", "customer", "hand_over_at", "state", "own_price", "deposit_paid")
    list_filter = ("state", "way", "for_stock")
    list_select_related = ("customer",)
    search_fields = ("number", "title", "customer__name")
    date_hierarchy = "hand_over_at"
    readonly_fields = ("token", "revision", "created_at", "updated_at")
    autocomplete_fields = ("customer",)
    raw_id_fields = ("made_again_from",)
    inlines = (LineInline, NameInline, ChangeInline)


@admin.register(Quote)
class QuoteAdmin(ReadOnlyAdmin):
    list_display = ("order", "version", "made_at", "valid_until", "total", "deposit")
    list_select_related = ("order",)


@admin.register(Payment)
class PaymentAdmin(ReadOnlyAdmin):
    list_display = ("order", "what", "amount", "on", "note")
    list_filter = ("what",)
    list_select_related = ("order",)


@admin.register(StateChange)
class StateChangeAdmin(ReadOnlyAdmin):
    list_display = ("order", "before", "state", "at", "note")
    list_filter = ("state",)
    list_select_related = ("order",)
