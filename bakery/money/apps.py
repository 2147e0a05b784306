from django.apps import AppConfig


class MoneyConfig(AppConfig):
    name = "bakery.money"
    label = "money"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from bakery.studio.parts import add_to_shop

        from .pace import own_minutes

        add_to_shop("minutes", own_minutes)
