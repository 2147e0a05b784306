"""Orders and the form that takes them: these pages need the plan, so they live above it."""

from django.urls import path

from .views import intake, options, orders, platter, stall, wafer

urlpatterns = [
    path("orders/", orders.order_list, name="order_list"),
    path("orders/closed/", orders.order_closed, name="order_closed"),
    path("orders/new/", intake.new_order, name="new_order"),
    path("stall/", stall.stall, name="stall"),
    path("stall/take/", stall.stall_take, name="stall_take"),
    path("stall/<int:pk>/", stall.stall_day, name="stall_day"),
    path("stall/<int:pk>/back/", stall.stall_back, name="stall_back"),
    path("stall/<int:pk>/not-taken/", stall.stall_not_taken, name="stall_not_taken"),
    path("stall/put-down/<int:number>/", stall.stall_put_down, name="stall_put_down"),
    path("wafer/keep/", wafer.wafer_keep, name="wafer_keep"),
    path("wafer/", wafer.wafer, name="wafer"),
    path("platter/", platter.platter, name="platter"),
    path("orders/new/answer/", intake.order_answer, name="order_answer"),
    path("orders/new/like/", intake.order_like, name="order_like"),
    path("orders/<int:number>/", orders.order, name="order"),
    path("orders/<int:number>/promise/", orders.order_promise, name="order_promise"),
    path("orders/<int:number>/options/", options.order_options, name="order_options"),
    path("orders/<int:number>/options/promise/", options.order_option_promise, name="order_option_promise"),
    path("orders/<int:number>/move/", orders.order_move, name="order_move"),
    path("orders/<int:number>/allergies/", orders.order_allergies, name="order_allergies"),
    path("orders/<int:number>/payment/", orders.order_pay, name="order_pay"),
    path("orders/<int:number>/change/", intake.order_change, name="order_change"),
    path("orders/<int:number>/change/answer/", intake.order_answer, name="order_answer_to"),
]
