from django.urls import path

from . import views

urlpatterns = [
    path("airbrush/", views.airbrush, name="airbrush"),
    path("airbrush/took/", views.cleaning_took, name="cleaning_took"),
    path("airbrush/usual/", views.cleaning_usual, name="cleaning_usual"),
    path("airbrush/timings/<int:pk>/", views.cleaning_counts, name="cleaning_counts"),
]
