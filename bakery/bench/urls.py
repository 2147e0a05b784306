from django.urls import include, path

urlpatterns = [
    path("", include("bakery.bench.colours.urls")),
    path("", include("bakery.bench.spraying.urls")),
    path("", include("bakery.bench.drying.urls")),
]
