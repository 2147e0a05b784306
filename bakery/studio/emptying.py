"""Take everything out of the studio's own tables; people who log in, and the six kinds of cookie, stay."""

from django.apps import apps
from django.db import transaction

STAYS = ("designs.Kind",)
NOT_HERS = ("studio.Studio", "studio.Counter", "studio.CalendarAddress", "background.Computation")


@transaction.atomic
def empty_studio() -> None:
    """Delete every row of our own apps, and what was said of the kinds; references are checked at the end."""
    for model in own_models():
        model._base_manager.all()._raw_delete(using="default")
    apps.get_model("designs.Kind")._base_manager.update(minutes=None)


def own_models() -> list:
    """Models of our own apps, link tables and histories included, but for what stays."""
    return [
        model
        for model in apps.get_models(include_auto_created=True)
        if model.__module__.startswith("bakery.") and model._meta.label not in STAYS and not model._meta.proxy
    ]


def is_empty() -> bool:
    """Whether nothing of hers is here yet; the studio's own row and the counters do not count."""
    return not any(
        model._base_manager.exists() for model in own_models() if model._meta.label not in NOT_HERS
    )
