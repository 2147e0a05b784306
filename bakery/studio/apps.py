from django.apps import AppConfig


class StudioConfig(AppConfig):
    name = "bakery.studio"
    label = "studio"
    default_auto_field = "django.db.models.BigAutoField"
