"""Packets and deliveries, under the cupboard."""

from django.urls import path

from . import about_views, delivery_views, ledger_views

urlpatterns = [
    path("cupboard/delivery/", delivery_views.delivery, name="delivery"),
    path("cupboard/delivery/<int:pk>/", delivery_views.delivery_done, name="delivery_done"),
    path("cupboard/mixed/", delivery_views.mixed, name="mixed"),
    path("cupboard/<int:pk>/", ledger_views.item, name="item"),
    path("cupboard/<int:pk>/about/", about_views.item_about, name="item_about"),
    path("cupboard/<int:pk>/count/", ledger_views.item_count, name="item_count"),
    path("cupboard/<int:pk>/offcut/", ledger_views.item_offcut, name="item_offcut"),
    path("cupboard/<int:pk>/foot/", ledger_views.item_foot, name="item_foot"),
    path("cupboard/flags/<int:pk>/", ledger_views.flag_answer, name="flag_answer"),
    path("packets/", ledger_views.packets, name="packets"),
    path("packets/of/<slug:order>/", ledger_views.order_packets, name="order_packets"),
    path("packets/moves/<int:pk>/back/", ledger_views.move_back, name="move_back"),
    path("packets/<slug:code>/", ledger_views.packet, name="packet"),
    path("packets/<slug:code>/count/", ledger_views.packet_count, name="packet_count"),
    path("packets/<slug:code>/open/", ledger_views.packet_open, name="packet_open"),
    path("packets/<slug:code>/waste/", ledger_views.packet_waste, name="packet_waste"),
]
