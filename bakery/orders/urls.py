from django.urls import path

from . import price_views, views

urlpatterns = [
    path("orders/<int:number>/price/", price_views.order_price, name="order_price"),
    path("orders/<int:number>/cheaper/", price_views.order_cheaper, name="order_cheaper"),
    path("orders/<int:number>/simpler/", price_views.order_simpler, name="order_simpler"),
    path("orders/<int:number>/state/", views.order_state, name="order_state"),
    path("orders/<int:number>/undo/", views.order_undo, name="order_undo"),
    path("orders/<int:number>/quote/", views.order_quote, name="order_quote"),
    path("orders/<int:number>/hold/", views.order_hold, name="order_hold"),
    path("orders/<int:number>/stage/", views.order_stage, name="order_stage"),
]
