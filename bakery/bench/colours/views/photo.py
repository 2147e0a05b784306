"""A colour from a photo: tap the white card, then the colour. The picture is a button whose browser sends
where it was tapped, so it works without JavaScript; for that it is shown at a fixed width.
"""

from urllib.parse import urlencode

from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from bakery.studio.models import Picture
from bakery.studio.pictures import keep_picture, pixels

from ..forms import UploadForm

WIDE = 350
UNEVEN = "Where you tapped the {} it is not even: an edge, a shadow or a gloss. Tap a plain spot to be sure."
CARRIED = ("for", "want", "ground", "coats", "much")


@require_http_methods(["GET", "POST"])
def photo(request):
    form = (
        UploadForm(request.POST or None, request.FILES or None) if request.method == "POST" else UploadForm()
    )
    if request.method == "POST" and form.is_valid():
        try:
            kept = keep_picture(upload=form.cleaned_data["photo"], origin="a photo to read a colour from")
            to = reverse("colour_photo_point", args=[kept.sha256])
            return redirect(f"{to}?{urlencode(_carried(request.GET))}")
        except ValidationError as wrong:
            form.add_error("photo", wrong.messages)
    context = {"form": form, "nav": "colours"}
    return render(request, "bench/photo.html", context, status=422 if form.errors else 200)


def _carried(data) -> dict[str, str]:
    """What she was in the middle of; only what the bench itself knows."""
    drops = {key: data[key][:4] for key in data if key[:1] == "d" and key[1:].isascii() and key[1:].isdigit()}
    return {key: data[key][:40] for key in CARRIED if data.get(key)} | dict(list(drops.items())[:20])


@require_GET
def photo_point(request, sha):
    picture = get_object_or_404(Picture, sha256=sha)
    height = max(1, round(picture.height * WIDE / picture.width))
    white, spot = (_point(request.GET, name, height) for name in ("white", "colour"))
    found, wrong, doubt = _shade(picture, white, spot) if white and spot else ("", "", "")
    carried = _carried(request.GET)
    return render(request, "bench/photo_point.html", {
        "picture": picture, "wide": WIDE, "high": height, "carried": carried, "nav": "colours",
        "white": white, "spot": spot, "shade": found, "wrong": wrong, "doubt": doubt,
        "asking": "colour" if white else "white",
        "use": _use(carried, found, picture) if found else "", "again": f"?{urlencode(carried)}",
        "other": f"?{urlencode(carried | {'white.x': white[0], 'white.y': white[1]})}" if white else "",
    })  # fmt: skip


def _point(data, name: str, height: int) -> tuple[int, int] | None:
    x, y = data.get(f"{name}.x", ""), data.get(f"{name}.y", "")
    good = all(one.isascii() and one.isdigit() and len(one) < 6 for one in (x, y))
    return (min(int(x), WIDE - 1), min(int(y), height - 1)) if good else None


def _shade(picture: Picture, white, spot) -> tuple[str, str, str]:
    """(shade, "", a doubt or "") or ("", the sentence why not, "")."""
    from bakery.craft.colour.photo import by_white, uneven

    scale = picture.width / WIDE
    patches = [pixels(picture, round(x * scale), round(y * scale), reach=6) for x, y in (spot, white)]
    try:
        found = by_white(*patches)
    except ValueError as fault:
        return "", str(fault), ""
    names = [name for name, patch in zip(("colour", "white"), patches, strict=True) if uneven(patch)]
    return found, "", UNEVEN.format(" and the ".join(names)) if names else ""


def _use(carried: dict, shade: str, picture: Picture) -> str:
    rest = {key: value for key, value in carried.items() if key != "for"}
    if carried.get("for") == "swatch":
        said = rest | {"hex": shade, "photo": picture.sha256}
        return f"{reverse('colour_swatch_add')}?{urlencode(said)}"
    rest = {key: value for key, value in rest.items() if key[:1] != "d"}
    return f"{reverse('colour_mix')}?{urlencode(rest | {'want': shade})}"
