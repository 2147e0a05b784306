"""The web server: waitress in the main thread, until Ctrl-C or a polite kill."""

import gc
import importlib
import signal
import socket
import threading


def serve(listener: socket.socket) -> None:
    """Answer pages until told to stop."""
    from waitress import create_server

    from bakery.wsgi import application

    server = create_server(application, sockets=[listener], threads=8, ident=None)
    threading.Thread(target=_warm_up, name="warm-up", daemon=True).start()
    server.run()  # returns at KeyboardInterrupt


def stop_politely_on_signals() -> None:
    """A terminal that closes and a service manager that stops us mean the same as Ctrl-C."""

    def stop(*_):
        raise KeyboardInterrupt

    for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), stop)


def _warm_up() -> None:
    """The first promise should not wait for the solver's import, the first paper for the printer's, nor the
    first colour for the mixing bench's.
    """
    for module in ("ortools.sat.python.cp_model", "weasyprint", "bakery.craft.colour.matching"):
        try:
            importlib.import_module(module)
        except (ImportError, OSError):  # OSError: a system library is missing; said when it is needed
            continue
    _settle_down()


def _settle_down() -> None:
    """Load every page's code and leave it out of later clean-ups of memory, which keep a page waiting."""
    from django.urls import get_resolver

    _ = get_resolver().url_patterns
    gc.collect()
    gc.freeze()
