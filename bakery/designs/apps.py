from django.apps import AppConfig


class DesignsConfig(AppConfig):
    name = "bakery.designs"
    label = "designs"
    default_auto_field = "django.db.models.BigAutoField"
