from django.apps import AppConfig
from django.utils.module_loading import autodiscover_modules


class BackgroundConfig(AppConfig):
    name = "bakery.background"
    label = "background"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        autodiscover_modules("tasks")  # registers every app's computations, in the web and in the workers
