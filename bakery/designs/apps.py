from django.apps import AppConfig
from django.db.models.signals import post_migrate


class DesignsConfig(AppConfig):
    name = "bakery.designs"
    label = "designs"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        from bakery.studio.parts import add_fields_to_shop, add_to_shop

        from .kinds import seed_kinds
        from .shop import kind_minutes, stencils

        post_migrate.connect(seed_kinds, sender=self, dispatch_uid="seed kinds of cookie")
        add_fields_to_shop(stencils)
        add_to_shop("kind_minutes", kind_minutes)
