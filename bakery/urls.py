from django.contrib import admin
from django.urls import include, path

urlpatterns = [
    path("admin/", admin.site.urls),
    path("", include("bakery.studio.urls")),
    path("", include("bakery.background.urls")),
    path("", include("bakery.stock.urls")),
    path("", include("bakery.designs.urls")),
    path("", include("bakery.orders.urls")),
    path("", include("bakery.production.urls")),
    path("", include("bakery.bench.urls")),
    path("", include("bakery.money.urls")),
    path("", include("bakery.paperwork.urls")),
]
handler400 = "bakery.studio.views.unreadable"
handler404 = "bakery.studio.views.not_found"
handler500 = "bakery.studio.views.broken"
