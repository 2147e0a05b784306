from django.apps import AppConfig


class ProductionConfig(AppConfig):
    name = "bakery.production"
    label = "production"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from . import listening, needs  # noqa: F401
