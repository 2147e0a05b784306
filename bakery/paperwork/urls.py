from datetime import date

from django.urls import path, register_converter

from . import views


class DayConverter:
    """A date in an address: 2026-11-25."""

    regex = r"\d{4}-\d{2}-\d{2}"

    def to_python(self, value):
        found = date.fromisoformat(value)
        if not 2000 <= found.year <= 2100:
            raise ValueError("no day of ours")
        return found

    def to_url(self, value):
        return value if isinstance(value, str) else value.isoformat()


register_converter(DayConverter, "day")

urlpatterns = [
    path("papers/quote/<int:number>/<int:version>/", views.quote_paper, name="quote_paper"),
    path("papers/quote/<int:number>/<int:version>/quote.pdf", views.quote_pdf, name="quote_pdf"),
    path("papers/day/<day:day>/", views.day_sheet, name="day_sheet"),
    path("papers/day/<day:day>/day-sheet.pdf", views.day_sheet_pdf, name="day_sheet_pdf"),
    path("papers/shopping/shopping.pdf", views.shopping_pdf, name="shopping_pdf"),
    path("papers/week/<day:day>/week.pdf", views.week_pdf, name="week_pdf"),
    path("papers/day/<day:day>/fresh/", views.day_sheet_fresh, name="day_sheet_fresh"),
]
