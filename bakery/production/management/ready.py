"""What the two printing commands need before they can say anything."""

from django.core.management.base import CommandError
from django.db import DatabaseError, connection


def needs_a_studio() -> None:
    """CommandError, in words, where no studio was ever opened or its database cannot be read."""
    try:
        there = "production_plan" in connection.introspection.table_names()
    except DatabaseError as error:
        raise CommandError(f"The database of the studio cannot be read: {error}") from error
    if not there:
        raise CommandError("There is no studio here yet. Begin with: python3 manage.py open")
