"""The two printing commands where there is nothing to print from."""

import pytest
from django.core.management import CommandError, call_command
from django.db import OperationalError, connection


@pytest.mark.django_db
@pytest.mark.parametrize("command", ["tonight", "plan"])
def test_before_the_first_opening_one_sentence_says_how_to_begin(command, monkeypatch):
    monkeypatch.setattr(connection.introspection, "table_names", lambda *_, **__: ["django_migrations"])
    with pytest.raises(CommandError, match="There is no studio here yet"):
        call_command(command)


@pytest.mark.parametrize("command", ["tonight", "plan"])
def test_a_database_that_cannot_be_read_is_told(command, monkeypatch):
    def refuse(*_, **__):
        raise OperationalError("file is not a database")

    monkeypatch.setattr(connection.introspection, "table_names", refuse)
    with pytest.raises(CommandError, match="cannot be read"):
        call_command(command)
