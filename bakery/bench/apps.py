from django.apps import AppConfig


class BenchConfig(AppConfig):
    name = "bakery.bench"
