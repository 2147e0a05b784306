from django.contrib import admin

from .models import Computation


@admin.register(Computation)
class ComputationAdmin(admin.ModelAdmin):
    """For looking, not for changing: rows are moved by the workers only."""

    list_display = ["id", "kind", "key", "state", "attempt", "percent", "created", "finished", "error"]
    list_filter = ["state", "kind"]
    readonly_fields = [field.name for field in Computation._meta.fields]

    def has_add_permission(self, request) -> bool:
        return False

    def has_change_permission(self, request, obj=None) -> bool:
        return False
