from django.contrib import admin

from .models import Paper


@admin.register(Paper)
class PaperAdmin(admin.ModelAdmin):
    """What was printed is only looked at."""

    list_display = ["kind", "key", "version", "made_at"]
    list_filter = ["kind"]

    def has_add_permission(self, request):
        return False

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False
