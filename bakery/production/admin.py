from django.contrib import admin

from bakery.studio.admin import ReadOnlyAdmin

from .models import Evening, Job, JobEvent, Plan, Setback


@admin.register(Plan)
class PlanAdmin(ReadOnlyAdmin):
    list_display = ("made_at", "state", "reason", "settled_at")
    list_filter = ("state",)
    exclude = ("problem", "plan", "tonight")

    def get_queryset(self, request):
        return super().get_queryset(request).defer("problem", "plan", "tonight")


@admin.register(Job)
class JobAdmin(ReadOnlyAdmin):
    list_display = ("key", "title", "state", "planned_start", "planned_end", "cookies", "said")
    list_filter = ("state", "kind")
    search_fields = ("key", "title", "order__number")
    date_hierarchy = "planned_start"


@admin.register(Evening)
class EveningAdmin(ReadOnlyAdmin):
    list_display = ("date", "answer", "answered_at", "finished_at", "frozen_at", "printed_at")


@admin.register(JobEvent)
class JobEventAdmin(ReadOnlyAdmin):
    list_display = ("job", "what", "at", "undone")
    list_select_related = ("job",)


@admin.register(Setback)
class SetbackAdmin(ReadOnlyAdmin):
    list_display = ("words", "kind", "at", "until", "undone_at")
    list_filter = ("kind",)
