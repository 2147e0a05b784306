from django.apps import AppConfig


class PaperworkConfig(AppConfig):
    name = "bakery.paperwork"
    label = "paperwork"
    default_auto_field = "django.db.models.BigAutoField"
