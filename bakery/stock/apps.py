from django.apps import AppConfig


class StockConfig(AppConfig):
    name = "bakery.stock"
    label = "stock"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from bakery.studio.parts import add_fields_to_shop, add_to_prices

        from . import following  # noqa: F401
        from .airbrush import airbrush
        from .prices import known_prices
        from .sizes import packs_and_sheet

        add_to_prices(known_prices)
        add_fields_to_shop(airbrush)
        add_fields_to_shop(packs_and_sheet)
