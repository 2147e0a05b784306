from django.contrib.auth import views as auth_views
from django.urls import path

from . import views

urlpatterns = [
    path("", views.first, name="first"),
    path("start/", views.start, name="start"),
    path("start/result/", views.start_result, name="start_result"),
    path("example/enter/", views.enter, name="example_enter"),
    path("example/leave/", views.leave, name="example_leave"),
    path("login/", auth_views.LoginView.as_view(template_name="studio/login.html"), name="login"),
    path("logout/", auth_views.LogoutView.as_view(), name="logout"),
]
