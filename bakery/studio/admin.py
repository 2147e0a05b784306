from django.contrib import admin

from .models import BakingHours, HoursChange, Outage, Reading, Studio

admin.site.site_header = "Dryby, every record"
admin.site.site_title = "Dryby"
admin.site.index_title = "As it is stored"


class ReadOnlyAdmin(admin.ModelAdmin):
    """For what is only ever added to: to be looked at, not touched."""

    def has_add_permission(self, request, *args):
        return False

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False


class ReadOnlyInline(admin.TabularInline):
    extra = 0
    can_delete = False

    def has_add_permission(self, request, *args):
        return False

    def has_change_permission(self, request, obj=None):
        return False


@admin.register(Studio)
class StudioAdmin(admin.ModelAdmin):
    list_display = ("name", "address", "is_example", "started_at")
    readonly_fields = ("is_example", "started_at", "updated_at")

    def has_add_permission(self, request):
        return False

    def has_delete_permission(self, request, obj=None):
        return False


@admin.register(BakingHours)
class BakingHoursAdmin(admin.ModelAdmin):
    list_display = ("weekday", "start", "end", "hands")


@admin.register(HoursChange)
class HoursChangeAdmin(admin.ModelAdmin):
    list_display = ("date", "kind", "start", "end", "hands", "reason")
    date_hierarchy = "date"


@admin.register(Outage)
class OutageAdmin(admin.ModelAdmin):
    list_display = ("resource", "amount", "start", "end", "reason")


@admin.register(Reading)
class ReadingAdmin(admin.ModelAdmin):
    list_display = ("at", "temperature_c", "humidity_percent", "where", "fan")
    list_filter = ("where", "fan")
