"""How a phone in the house gets here: the address as a square code."""

from django.http import HttpRequest
from django.shortcuts import render
from django.views.decorators.http import require_safe

HERE_ONLY = ("localhost", "127.0.0.1", "[::1]")


@require_safe
def on_a_phone(request):
    address = address_in_the_house(request)
    return render(request, "studio/on_a_phone.html", {"address": address, "code": square_code(address)})


def address_in_the_house(request: HttpRequest) -> str | None:
    """The address others reach: this page's own unless that works here only. None without a network."""
    from bakery.opening.ports import lan_address

    host = request.get_host()
    name, _, port = host.rpartition(":") if ":" in host.rpartition("]")[2] else (host, "", "")
    if name not in HERE_ONLY:
        return request.build_absolute_uri("/")
    lan = lan_address()
    return f"http://{lan}{':' if port else ''}{port}/" if lan else None


def square_code(address: str | None) -> str:
    """The code as a data address for an image; empty without an address."""
    import segno

    return segno.make(address, micro=False, error="m").svg_data_uri(scale=7, border=3) if address else ""
