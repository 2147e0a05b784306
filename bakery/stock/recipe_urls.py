"""Recipes, under the cupboard."""

from django.urls import path

from . import recipe_views as views

urlpatterns = [
    path("cupboard/recipes/", views.recipe_list, name="recipes"),
    path("cupboard/recipes/add/", views.recipe_add, name="recipe_add"),
    path("cupboard/recipes/<int:pk>/", views.recipe, name="recipe"),
    path("cupboard/recipes/<int:pk>/change/", views.recipe_change, name="recipe_change"),
    path("cupboard/recipes/<int:pk>/usual/", views.recipe_usual, name="recipe_usual"),
    path("cupboard/recipes/<int:pk>/gone/", views.recipe_drop, name="recipe_drop"),
    path("cupboard/recipes/part/<int:pk>/grams/", views.part_grams, name="part_grams"),
    path("cupboard/recipes/part/<int:pk>/packet/", views.part_packet, name="part_packet"),
]
