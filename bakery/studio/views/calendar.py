"""Her calendar's secret address on the set-up page: made, renewed, shut."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache

from ..calendar_address import calendar_address, renew_calendar, shut_calendar
from .phone import address_in_the_house, square_code


@never_cache
def calendar(request):
    """What can be subscribed to, or the button that makes it."""
    if request.method == "POST":
        if request.POST.get("do") == "shut":
            shut_calendar()
            messages.success(request, "The calendar is shut: its address answers no more.")
        else:
            had = calendar_address() is not None
            renew_calendar()
            old = "The old address answers no more; subscribe to the new one."
            messages.success(request, old if had else "The address is made.")
        return redirect("setup_group", "calendar")
    own = calendar_address()
    address = _address(request, own.secret) if own else ""
    return render(
        request,
        "studio/setup_calendar.html",
        {
            "title": "Calendar",
            "own": own,
            "address": address,
            "webcal": address.replace("https://", "webcal://").replace("http://", "webcal://"),
            "code": square_code(address) if address else "",
        },
    )


def _address(request, secret: str) -> str:
    """As others in the house reach it; on a machine without a network, as this page is reached."""
    house = address_in_the_house(request) or request.build_absolute_uri("/")
    return house.rstrip("/") + reverse("calendar_feed", args=[secret])
