from django.contrib import admin

from bakery.studio.admin import ReadOnlyAdmin

from .models import Paper


@admin.register(Paper)
class PaperAdmin(ReadOnlyAdmin):
    """What was printed is only looked at."""

    list_display = ["kind", "key", "version", "made_at"]
    list_filter = ["kind"]
