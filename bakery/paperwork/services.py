"""Printing freezes: what was printed once is printed again as it was, until she asks for a fresh one."""

from collections.abc import Callable
from datetime import datetime

from django.db import IntegrityError, transaction

from .models import Paper


def keep_paper(*, kind: str, key: str, make: Callable[[], dict], now: datetime) -> Paper:
    """The paper there is; else a first one. `make` runs outside the transaction: it may take long."""
    found = Paper.objects.filter(kind=kind, key=key).first()
    if found is not None:
        return found
    return _write(kind=kind, key=key, content=make(), version=1, now=now)


def fresh_paper(*, kind: str, key: str, make: Callable[[], dict], now: datetime) -> Paper:
    """A new version when anything on it has changed; else the one there is."""
    last = Paper.objects.filter(kind=kind, key=key).first()
    content = make()
    if last is not None and last.content == content:
        return last
    return _write(kind=kind, key=key, content=content, version=last.version + 1 if last else 1, now=now)


def _write(*, kind, key, content, version, now) -> Paper:
    paper = Paper(kind=kind, key=key, version=version, content=content, made_at=now)
    try:
        with transaction.atomic():
            paper.full_clean()
            paper.save()
    except IntegrityError:  # printed twice at once: the first is the paper
        return Paper.objects.get(kind=kind, key=key, version=version)
    return paper
