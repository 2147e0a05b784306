from django.urls import path

from . import views

urlpatterns = [
    path("colours/", views.colours, name="colours"),
    path("colours/new/", views.colour_add, name="colour_add"),
    path("colours/mix/", views.mix, name="colour_mix"),
    path("colours/photo/", views.photo, name="colour_photo"),
    path("colours/photo/<slug:sha>/", views.photo_point, name="colour_photo_point"),
    path("colours/swatches/", views.swatches, name="colour_swatches"),
    path("colours/swatches/new/", views.swatch_add, name="colour_swatch_add"),
    path("colours/swatches/<int:pk>/", views.swatch, name="colour_swatch"),
    path("colours/swatches/<int:pk>/refuse/", views.swatch_refuse, name="colour_swatch_refuse"),
    path("colours/bottles/<int:pk>/", views.bottle, name="colour_bottle"),
    path("colours/bottles/<int:pk>/anew/", views.bottle_anew, name="colour_bottle_anew"),
    path("colours/<int:pk>/", views.colour, name="colour"),
    path("colours/<int:pk>/change/", views.colour_change, name="colour_change"),
    path("colours/<int:pk>/put-away/", views.colour_away, name="colour_away"),
]
