"""Going into the example studio and leaving it again."""

from django.contrib import messages
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from bakery.studio import example_doors
from bakery.studio.backup import CopyFailed


@require_POST
def enter(request):
    try:
        example_doors.enter_example()
    except example_doors.AlreadyBaking as why:
        messages.error(request, str(why))
        return redirect("first")
    return redirect("tonight")


@require_POST
def again(request):
    """The same example, but from today."""
    example_doors.begin_again()
    return redirect("tonight")


@require_POST
def leave(request):
    try:
        copy = example_doors.leave_example()
    except CopyFailed as why:
        messages.error(request, f"The example is still here. {why}")
        return redirect("tonight")
    if copy:
        messages.success(request, f"The example is gone; a copy is kept as {copy.name}.")
    return redirect("first")
