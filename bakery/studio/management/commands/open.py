"""`python3 manage.py open`: everything at once, safe to repeat."""

import sys

from django.conf import settings
from django.core.management.base import BaseCommand

from bakery.opening import CannotOpen


class Command(BaseCommand):
    help = (
        "Set up what is missing, start the web server and the worker, print tonight's list and the address."
    )
    requires_system_checks = []

    def add_arguments(self, parser):
        parser.add_argument("--port", type=int, help="the port to listen at (8020, or the next free one)")
        parser.add_argument("--host", default="0.0.0.0", help="127.0.0.1 keeps it to this computer")
        parser.add_argument("--web-only", action="store_true", help="no worker: it runs elsewhere")

    def handle(self, *, port, host, web_only, **_):
        from bakery.opening import server, welcome

        keeper = None
        try:
            server.stop_politely_on_signals()
            _held, listener, password = self._prepare(host, port)
            if not web_only:
                keeper = self._start_worker()
            self._welcome(host, listener.getsockname()[1], password)
            server.serve(listener)
        except CannotOpen as cannot:
            sys.stderr.write(f"{cannot}\n")
            sys.exit(cannot.code)
        except KeyboardInterrupt:
            pass
        finally:
            if keeper:
                keeper.stop()
        welcome.say("Dryby is closed. Everything is kept.")

    def _prepare(self, host, port):
        from bakery.opening import database, first_login, home, ports, welcome

        home.make(settings.HOME)
        # Where the worker is part of this process, two of them on one folder would be one too many.
        held = home.hold(settings.HOME) if settings.EMBEDDED else None
        listener, about_port = ports.listen(host, port)
        database.bring_up_to_date()
        password = first_login.make_first_login()
        if about_port:
            welcome.say(about_port)
        if held:
            home.tell(held, f"http://localhost:{listener.getsockname()[1]}/")
        return held, listener, password

    def _start_worker(self):
        from bakery.opening.keeper import Keeper

        keeper = Keeper()
        keeper.start()
        return keeper

    def _welcome(self, host, port, password):
        from bakery.opening import ports, welcome

        if listing := welcome.tonight():
            welcome.say(listing, "")
        welcome.say(*welcome.addresses(host, port, ports.lan_address()), "", *welcome.login(password))
        welcome.say("", "Dryby is open. Ctrl-C stops everything.")
