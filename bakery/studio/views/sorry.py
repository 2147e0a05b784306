"""The pages that say sorry: an old form, nothing here, something broke, shut out for a while."""

from django.contrib.sessions.exceptions import SessionInterrupted
from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent
from django.db import DatabaseError
from django.http import HttpResponse
from django.shortcuts import render

NOT_SAVED = "What you pressed was not saved."
TOO_MUCH = (RequestDataTooBig, TooManyFieldsSent)


def form_out_of_date(request, reason=""):
    return sorry(request, "This page was open too long.", "Go back, reload it and press again.", 403)


def unreadable(request, exception=None):
    """More than a page may send, or nothing that can be read. Going back, browsers keep what was typed."""
    if isinstance(exception, TOO_MUCH):
        sentence = "That was more than one page can hold."
        more = "Nothing was saved. Go back: what you typed is still there. Shorten it and press again."
    elif isinstance(exception, SessionInterrupted):  # what Django makes of a session it could not write
        more = "Go back, press again in a moment: nothing is taken twice, and what you typed is still there."
        return sorry(request, "The studio is busy.", more, 503)
    else:
        sentence, more = "That could not be read.", "Nothing was saved. Go back and try once more."
    return sorry(request, sentence, more, 400)


def not_found(request, exception=None):
    return sorry(request, "There is nothing at this address.", "It may have been moved or taken away.", 404)


def broken(request):
    """Also when it is the database that broke, which every ordinary page asks."""
    sentence, more = "Something broke here.", "What is saved is safe. Go back and try once more."
    try:
        return sorry(request, sentence, more, 500)
    except Exception:  # whatever it is, she gets a page
        return bare(sentence, more, 500)


def not_kept(request, error) -> HttpResponse:
    """The database could not be read or written just now. Nothing is half saved."""
    words = str(error)
    if "full" in words or "No space left" in words:
        sentence = "There is no room left on this computer."
        more = (
            "What you pressed was not saved. Make room, go back (what you typed is still there), press again."
        )
    elif "locked" in words:
        sentence = "The studio is busy."
        more = (
            "What you pressed was not saved. Go back: what you typed is still there. Press again in a moment."
        )
    elif "readonly" in words:
        sentence = "Dryby may not write into its folder."
        more = f"{NOT_SAVED} Once it may, go back and press again."
    else:
        return broken(request)
    try:
        return sorry(request, sentence, more, 503)
    except DatabaseError:  # nothing can be read either
        return bare(sentence, more, 503)


def bare(sentence, more, status) -> HttpResponse:
    """A page that needs nothing."""
    text = f"<!doctype html><html lang=en-GB><title>Dryby</title><h1>{sentence}</h1><p>{more}</p></html>"
    return HttpResponse(text, status=status)


def shut_out(request, credentials=None, *args, **kwargs):
    """Too many wrong passwords from one place."""
    return sorry(
        request,
        "Too many wrong passwords.",
        "Logging in is shut for an hour; on the machine itself, python3 manage.py axes_reset opens it again.",
        429,
    )


def sorry(request, sentence: str, more: str, status: int) -> HttpResponse:
    return render(request, "studio/sorry.html", {"sentence": sentence, "more": more}, status=status)
