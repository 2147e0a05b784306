from django.urls import path

from . import views

app_name = "background"
urlpatterns = [
    path("background/<int:pk>/", views.progress, name="progress"),
    path("background/<int:pk>/cancel/", views.cancel, name="cancel"),
    path("background/<int:pk>/again/", views.try_again, name="try_again"),
]
