from django.contrib.admin.views.decorators import staff_member_required
from django.contrib.auth import views as auth_views
from django.urls import path

from . import patterns, views

urlpatterns = [
    path("", views.first, name="first"),
    path("start/", views.start, name="start"),
    path("start/result/", views.start_result, name="start_result"),
    path("example/enter/", views.enter, name="example_enter"),
    path("example/leave/", views.leave, name="example_leave"),
    path("example/again/", views.again, name="example_again"),
    path("on-a-phone/", views.on_a_phone, name="on_a_phone"),
    path("pictures/<slug:sha>/", views.picture, name="picture"),
    path("set-up/", views.setup, name="setup"),
    path("set-up/copies/<str:name>", views.copy_download, name="copy_download"),
    path("set-up/dates/<int:pk>/forget/", views.date_forget, name="date_forget"),
    path("set-up/tools/<int:pk>/back/", views.tool_back, name="tool_back"),
    path("set-up/<slug:group>/", views.setup_group, name="setup_group"),
    path("patterns/", staff_member_required(patterns.patterns), name="patterns"),
    path("login/", auth_views.LoginView.as_view(template_name="studio/login.html"), name="login"),
    path("logout/", auth_views.LogoutView.as_view(), name="logout"),
]
