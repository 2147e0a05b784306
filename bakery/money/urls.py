from django.urls import path

from . import views

urlpatterns = [
    path("money/", views.money, name="money"),
    path("money/orders/", views.money_orders, name="money_orders"),
    path("money/<slug:name>.csv", views.money_table, name="money_table"),
    path("money/paid/<int:number>/", views.money_paid, name="money_paid"),
    path("money/payments/<int:pk>/back/", views.money_payment_back, name="money_payment_back"),
    path("money/use/<slug:work>/", views.money_use, name="money_use"),
    path("money/used/<int:pk>/undo/", views.money_use_undo, name="money_use_undo"),
]
