from django.urls import path

from . import views

urlpatterns = [
    path("drying/", views.drying, name="drying"),
    path("drying/touch/<int:pk>/", views.touch_refuse, name="touch_refuse"),
    path("drying/anew/", views.air_reset, name="air_reset"),
    path("drying/year/", views.year, name="drying_year"),
]
