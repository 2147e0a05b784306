from django.urls import path

from . import views

urlpatterns = [
    path("cupboard/", views.cupboard, name="cupboard"),
    path("cupboard/add/", views.item_add, name="item_add"),
    path("cupboard/<int:pk>/level/", views.item_level, name="item_level"),
    path("cupboard/<int:pk>/undo/<int:mark>/", views.item_undo, name="item_undo"),
]
