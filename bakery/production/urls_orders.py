"""Orders and the form that takes them: these pages need the plan, so they live above it."""

from django.urls import path

from .views import intake, orders, platter

urlpatterns = [
    path("orders/", orders.order_list, name="order_list"),
    path("orders/closed/", orders.order_closed, name="order_closed"),
    path("orders/new/", intake.new_order, name="new_order"),
    path("platter/", platter.platter, name="platter"),
    path("orders/new/answer/", intake.order_answer, name="order_answer"),
    path("orders/new/like/", intake.order_like, name="order_like"),
    path("orders/<int:number>/", orders.order, name="order"),
    path("orders/<int:number>/move/", orders.order_move, name="order_move"),
    path("orders/<int:number>/allergies/", orders.order_allergies, name="order_allergies"),
    path("orders/<int:number>/payment/", orders.order_pay, name="order_pay"),
    path("orders/<int:number>/change/", intake.order_change, name="order_change"),
    path("orders/<int:number>/change/answer/", intake.order_answer, name="order_answer_to"),
]
