"""What the cupboard does when the rooms below it change."""

from django.dispatch import receiver

from bakery.studio.signals import studio_changed


@receiver(studio_changed)
def when_the_studio_changes(sender, **more):
    from .recipes import follow_the_studio

    follow_the_studio()
