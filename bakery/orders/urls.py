from django.urls import path

from . import views

urlpatterns = [
    path("orders/<int:number>/state/", views.order_state, name="order_state"),
    path("orders/<int:number>/undo/", views.order_undo, name="order_undo"),
    path("orders/<int:number>/quote/", views.order_quote, name="order_quote"),
    path("orders/<int:number>/hold/", views.order_hold, name="order_hold"),
    path("orders/<int:number>/stage/", views.order_stage, name="order_stage"),
]
