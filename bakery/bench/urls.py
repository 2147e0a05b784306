from django.urls import include, path

urlpatterns = [
    path("", include("bakery.bench.drying.urls")),
]
