"""Pictures she adds: written again small, hostile ones refused in a sentence, shown only to her."""

import io
import zlib

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageFile

from bakery.studio.models import Picture
from bakery.studio.pictures import MOST_BYTES, forget_unused, keep_picture, pixels
from tests import factories as make

pytestmark = pytest.mark.django_db


def picture(kind="JPEG", size=(1600, 1200), colour=(200, 40, 40), **more) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, kind, **more)
    return out.getvalue()


def upload(data: bytes, name="photo.jpg"):
    return SimpleUploadedFile(name, data, content_type="image/jpeg")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_any_photo_becomes_a_small_jpeg(kind):
    kept = keep_picture(upload=upload(picture(kind)), origin=" her  phone ")
    assert (kept.width, kept.height) == (1000, 750)
    assert kept.origin == "her phone"
    with Image.open(io.BytesIO(kept.jpeg)) as image:
        assert (image.format, image.size) == ("JPEG", (1000, 750))
        assert all(abs(a - b) < 4 for a, b in zip(image.getpixel((500, 300)), (200, 40, 40), strict=True))


def test_the_same_picture_twice_is_one_row():
    first = keep_picture(upload=upload(picture()))
    assert keep_picture(upload=upload(picture())) == first
    assert Picture.objects.count() == 1


def test_where_and_by_whom_it_was_taken_is_dropped_and_it_stands_upright():
    said = Image.Exif()
    said[0x010E], said[0x0112] = "taken at her home", 6  # description; turned by a quarter
    said.get_ifd(0x8825)[1] = "N"  # a place on earth
    kept = keep_picture(upload=upload(picture(size=(800, 400), exif=said, comment=b"secret")))
    assert (kept.width, kept.height) == (400, 800)
    with Image.open(io.BytesIO(kept.jpeg)) as image:
        assert not image.getexif()
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"home" not in bytes(kept.jpeg)
    assert b"secret" not in bytes(kept.jpeg)


def test_what_is_see_through_lies_on_white():
    out = io.BytesIO()
    Image.new("RGBA", (40, 40), (0, 0, 0, 0)).save(out, "PNG")
    kept = keep_picture(upload=upload(out.getvalue()))
    assert min(min(spot) for spot in pixels(kept, 20, 20)) > 0.99


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "I;16", "RGB", "RGBA"])
def test_every_way_of_storing_dots_is_read(mode):
    out = io.BytesIO()
    image = Image.new("RGB", (1200, 60), "white")
    image.paste("black", (0, 0, 600, 60))
    grey = image.convert("L")
    (grey.convert("I;16") if mode == "I;16" else image.convert(mode)).save(out, "PNG")
    kept = keep_picture(upload=upload(out.getvalue()))
    assert (kept.width, kept.height) == (1000, 50)
    assert max(max(spot) for spot in pixels(kept, 200, 20)) < 0.05


def test_one_colour_that_means_nothing_is_there_lies_on_white():
    out = io.BytesIO()
    image = Image.new("RGB", (1200, 60), (0, 255, 0))
    image.paste("black", (0, 0, 600, 60))
    image.save(out, "PNG", transparency=(0, 255, 0))
    kept = keep_picture(upload=upload(out.getvalue()))
    assert min(min(spot) for spot in pixels(kept, 800, 20)) > 0.95


def chunk(kind: bytes, data: bytes) -> bytes:
    return len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")


def bomb() -> bytes:
    """A few kilobytes that unpack to 60,000 x 60,000 dots."""
    header = (60000).to_bytes(4, "big") * 2 + bytes([8, 2, 0, 0, 0])
    packed = zlib.compress(bytes(2_000_000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "no picture in that file"),
        (b"hello", "no picture that can be read"),
        (SVG, "no picture that can be read"),
        (b"GIF89a" + bytes(100), "no picture that can be read"),
        (picture()[:400], "no picture that can be read"),
        (b"\xff\xd8\xff\xe0" + bytes(5000), "no picture that can be read"),
        (bomb(), "too many dots"),
        (picture(size=(4, 4)), "too small"),
        (picture("GIF"), "no picture that can be read"),
        (picture("TIFF"), "no picture that can be read"),
    ],
)
def test_what_is_no_picture_is_refused_in_a_sentence(data, said):
    with pytest.raises(ValidationError, match=said):
        keep_picture(upload=upload(data))
    assert not Picture.objects.exists()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_half_a_picture_is_refused_also_once_papers_were_made(monkeypatch, kind):
    """The maker of papers tells the whole process to fill up what is cut off."""
    noise = Image.effect_noise((600, 400), 90).convert("RGB")
    out = io.BytesIO()
    noise.save(out, kind)
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    with pytest.raises(ValidationError, match="no picture that can be read"):
        keep_picture(upload=upload(out.getvalue()[: len(out.getvalue()) // 2]))
    assert not Picture.objects.exists()


def test_a_file_too_large_is_not_even_read():
    class Large:
        size = MOST_BYTES + 1

        def read(self):
            pytest.fail("read")

    with pytest.raises(ValidationError, match="15 MB"):
        keep_picture(upload=Large())


def test_a_broken_colour_profile_is_ignored():
    kept = keep_picture(upload=upload(picture(icc_profile=b"not a profile at all")))
    assert kept.width == 1000


def test_it_is_shown_to_her_alone_and_for_what_it_is(client, signed_in):
    make.StudioFactory()
    kept = keep_picture(upload=upload(picture()))
    answer = signed_in.get(f"/pictures/{kept.sha256}/")
    assert answer.status_code == 200
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert "private" in answer["Cache-Control"]
    assert signed_in.get(f"/pictures/{'0' * 64}/").status_code == 404
    signed_in.logout()
    assert client.get(f"/pictures/{kept.sha256}/").status_code == 302


def test_a_picture_that_nothing_shows_goes_after_a_month():
    from datetime import timedelta

    from django.utils import timezone

    from bakery.stock.models import Swatch

    now = timezone.now()
    unused, shown, idea, new = (
        keep_picture(upload=upload(picture(colour=(n, 90, 90)))) for n in (10, 80, 150, 220)
    )
    Picture.objects.exclude(pk=new.pk).update(added_at=now - timedelta(days=40))
    Swatch.objects.create(drops={"1": 2}, hex="#aabbcc", photo=shown)
    make.DesignFactory(picture=idea)
    assert forget_unused(now=now) == 1
    assert set(Picture.objects.values_list("pk", flat=True)) == {shown.pk, idea.pk, new.pk}
    assert forget_unused(now=now) == 0
    assert not Picture.objects.filter(pk=unused.pk).exists()
