"""Pictures she adds. Each is read anew and written again, small: nothing of the file that came is kept, so
nothing hidden in it (a place, a name, a programme) is either.
"""

import hashlib
import io
import warnings
from datetime import datetime, timedelta

from django.core.exceptions import ValidationError
from django.db import transaction

from .models import Picture

MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = {"JPEG": 64_000_000, "PNG": 25_000_000, "WEBP": 25_000_000}
SIDE = 1000
UNUSED = timedelta(days=31)
QUALITY = 88
NO_PICTURE = "That is no picture that can be read here. A photo as JPEG, PNG or WebP works."


def keep_picture(*, upload, origin: str = "") -> Picture:
    """The picture of an uploaded file, at most 1000 px wide and high, as JPEG; the same one twice is one row.

    Raises ValidationError with a sentence for what is no picture, or too large. Reading is done before the
    transaction begins.
    """
    jpeg, width, height = _written_again(_bytes(upload))
    sha = hashlib.sha256(jpeg).hexdigest()
    fields = {"jpeg": jpeg, "width": width, "height": height, "origin": " ".join(origin.split())[:200]}
    with transaction.atomic():
        return Picture.objects.get_or_create(sha256=sha, defaults=fields)[0]


def forget_unused(*, now: datetime) -> int:
    """Delete pictures of more than a month ago that nothing shows: those a colour was only read from."""
    old = Picture.objects.filter(added_at__lt=now - UNUSED)
    for row in Picture._meta.get_fields(include_hidden=True):
        if row.one_to_many or row.one_to_one:
            used = row.related_model._base_manager.filter(**{f"{row.field.name}__isnull": False})
            old = old.exclude(pk__in=used.values(row.field.name))
    return old.delete()[0]


def pixels(picture: Picture, x: int, y: int, reach: int = 4) -> list[tuple[float, float, float]]:
    """sRGB in [0, 1] of the square around a point of a kept picture; the edge of the picture cuts it."""
    from PIL import Image

    with Image.open(io.BytesIO(picture.jpeg), formats=("JPEG",)) as image:
        x, y = min(max(x, 0), image.width - 1), min(max(y, 0), image.height - 1)
        box = (max(0, x - reach), max(0, y - reach), min(image.width, x + reach + 1),
               min(image.height, y + reach + 1))  # fmt: skip
        data = image.convert("RGB").crop(box).tobytes()
    return [tuple(level / 255 for level in data[at : at + 3]) for at in range(0, len(data), 3)]


def _bytes(upload) -> bytes:
    if upload is None or not upload.size:
        raise ValidationError("There is no picture in that file.")
    if upload.size > MOST_BYTES:
        raise ValidationError("That picture is larger than 15 MB. Send a smaller one.")
    return upload.read()


def _written_again(data: bytes) -> tuple[bytes, int, int]:
    from PIL import Image, ImageFile, ImageOps

    ImageFile.LOAD_TRUNCATED_IMAGES = False  # the maker of papers sets it for the whole process
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # sizes are looked at here, before anything is unpacked
            with Image.open(io.BytesIO(data), formats=tuple(MOST_PIXELS)) as image:
                if image.width * image.height > MOST_PIXELS[image.format]:
                    raise ValidationError("That picture has too many dots. Send a smaller one.")
                if min(image.size) < 8:
                    raise ValidationError("That picture is too small to see anything on.")
                image.draft("RGB", (SIDE * 2, SIDE * 2))
                ImageOps.exif_transpose(image, in_place=True)
                small = _resizable(image)
                small.thumbnail((SIDE, SIDE), Image.Resampling.LANCZOS)  # first: copies are large
                small = _plain(small)
                out = io.BytesIO()
                small.save(out, "JPEG", quality=QUALITY, optimize=True)
    except ValidationError:
        raise
    except (MemoryError, Image.DecompressionBombError):
        raise ValidationError("That picture has too many dots. Send a smaller one.") from None
    except Exception:  # a broken file can fail in any way, and none of them is hers to read
        raise ValidationError(NO_PICTURE) from None
    return out.getvalue(), small.width, small.height


def _resizable(image):
    """In a mode whose dots can be mixed: no palette, no one colour that means nothing is there."""
    if image.mode in ("P", "PA") or "transparency" in image.info:
        return image.convert("RGBA")
    return image if image.mode in ("L", "LA", "RGB", "RGBA", "CMYK") else image.convert("RGB")


def _plain(image):
    """In the screen's own colours, see-through parts on white."""
    from PIL import Image

    image = _in_screen_colours(image)
    if image.mode in ("RGBA", "LA"):
        image = image.convert("RGBA")
        below = Image.new("RGBA", image.size, "white")
        image = Image.alpha_composite(below, image)
    image = image.convert("RGB")
    return Image.frombytes("RGB", image.size, image.tobytes())  # nothing that came with it


def _in_screen_colours(image):
    """Phones save in a wider range of colours and say so in a profile; without it reds would pale."""
    from PIL import ImageCms

    profile = image.info.get("icc_profile")
    if not profile or image.mode not in ("RGB", "RGBA"):
        return image
    try:
        return ImageCms.profileToProfile(
            image, ImageCms.ImageCmsProfile(io.BytesIO(profile)), ImageCms.createProfile("sRGB")
        )
    except (ImageCms.PyCMSError, OSError, ValueError):
        return image
