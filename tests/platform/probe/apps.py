from django.apps import AppConfig


class ProbeConfig(AppConfig):
    name = "tests.platform.probe"
    label = "probe"
    default_auto_field = "django.db.models.BigAutoField"
