from django.urls import include, path

from . import ahead_views, views

urlpatterns = [
    path("", include("bakery.stock.recipe_urls")),
    path("", include("bakery.stock.ledger_urls")),
    path("", include("bakery.stock.runout.urls")),
    path("cupboard/", views.cupboard, name="cupboard"),
    path("cupboard/add/", views.item_add, name="item_add"),
    path("cupboard/ahead/", ahead_views.ahead_add, name="ahead_add"),
    path("cupboard/ahead/<int:pk>/move/", ahead_views.ahead_move, name="ahead_move"),
    path("cupboard/ahead/<int:pk>/gone/", ahead_views.ahead_gone, name="ahead_gone"),
    path("cupboard/ahead/back/<int:pk>/", ahead_views.ahead_back, name="ahead_back"),
    path("cupboard/<int:pk>/level/", views.item_level, name="item_level"),
    path("cupboard/<int:pk>/undo/<int:mark>/", views.item_undo, name="item_undo"),
]
