"""What will run out, and the lists that go out."""

from django.urls import path

from ..lists.views import bring_in
from . import views

urlpatterns = [
    path("shopping/", views.shopping, name="shopping"),
    path("shopping/shopping.csv", views.shopping_csv, name="shopping_csv"),
    path("cupboard/list/", bring_in, name="bring_in"),
    path("cupboard/cupboard.csv", views.cupboard_csv, name="cupboard_csv"),
    path("cupboard/moves.csv", views.moves_csv, name="moves_csv"),
]
