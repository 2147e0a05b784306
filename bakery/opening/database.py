"""The database is brought up to date; what is wrong with it is said in one sentence."""

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, OperationalError, connection
from django.db.migrations.executor import MigrationExecutor

from . import CannotOpen


def bring_up_to_date() -> None:
    """Apply what is missing. A studio that already holds data is copied first."""
    try:
        executor = MigrationExecutor(connection)
        _refuse_newer(executor)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            if executor.loader.applied_migrations:
                _copy_first()
            call_command("migrate", interactive=False, verbosity=0)
    except OperationalError as error:
        raise CannotOpen(_unreachable(error)) from error
    except DatabaseError as error:
        raise CannotOpen(
            f"The database of the studio cannot be read ({_short(error)}). The nightly copies are in "
            f"{settings.HOME / 'copies'}; put one back: python3 manage.py restore FILE"
        ) from error


def _refuse_newer(executor: MigrationExecutor) -> None:
    known = set(executor.loader.graph.nodes)
    ours = {app for app, _ in known}
    unknown = [key for key in executor.loader.applied_migrations if key[0] in ours and key not in known]
    replaced = {key for m in executor.loader.disk_migrations.values() for key in m.replaces}
    if set(unknown) - replaced:
        raise CannotOpen("This studio was last opened by a newer Dryby. Open it with that one or a later.")


def _copy_first() -> None:
    from bakery.studio.backup import make_copy

    make_copy("before an upgrade")


def _unreachable(error: Exception) -> str:
    if connection.vendor == "sqlite":
        return f"The database file {settings.DATABASES['default']['NAME']} cannot be used: {_short(error)}."
    return (
        f"The database at {settings.DATABASES['default'].get('HOST') or 'this machine'} does not answer: "
        + (_short(error) + ".")
    )


def _short(error: Exception) -> str:
    return (str(error).strip().splitlines() or ["no reason given"])[0][:200].rstrip(".")
