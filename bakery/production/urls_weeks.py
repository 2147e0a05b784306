"""The week, the weeks ahead, and the calendar that is fetched."""

from django.urls import path

from .views import calendar, week, weeks

urlpatterns = [
    path("week/", week.week, name="week"),
    path("week/table/", week.week_table, name="week_table"),
    path("week/why/", week.week_why, name="week_why"),
    path("week/ahead/", weeks.week_ahead, name="week_ahead"),
    path("week/close/", weeks.week_close, name="week_close"),
    path("week/open/", weeks.week_open, name="week_open"),
    path("calendar/<str:secret>/dryby.ics", calendar.calendar_feed, name="calendar_feed"),
]
