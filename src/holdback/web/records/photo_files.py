"""Photographs as files: read safely, turned upright, kept without what a camera writes beside the picture.

A picture lies in the folder ``photos`` of the data folder as ``<key>.jpg``, and small as ``<key>-small.jpg``. The name
that it had on the keeper's computer is never used. What is stored is encoded anew from the pixels alone: no place, no
serial number, no hidden preview of the camera is left.
"""

from __future__ import annotations

import hashlib
import io
import uuid
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from django.conf import settings
from pi_heif import register_heif_opener
from PIL import Image, ImageOps, UnidentifiedImageError

from holdback.collection.model import PartialDate
from holdback.errors import Fault, RecordError

KINDS = ("JPEG", "PNG", "WEBP", "HEIF")
MAX_BYTES = 40 * 2**20
MAX_PIXELS = 110_000_000
"""Largest telephone cameras have 108 megapixels; opened, as many take some 330 MB."""
LONG_SIDE = 4096
"""Longer pictures are made smaller: an animal that fills one is then still seen to a quarter of a millimetre."""
SMALL_SIDE = 480
LEAST_SIDE = 100
QUALITY = 92

_TAKEN, _EXIF_FOLDER = 0x9003, 0x8769
"""Tags of the day and of the folder that holds it: Exif 2.32 (CIPA DC-008), DateTimeOriginal and Exif IFD pointer."""

register_heif_opener(thumbnails=False)


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture ready to be stored.

    Parameters
    ----------
    large, small : bytes
        JPEG files without anything beside the pixels.
    width, height : int
        Of the large one, in pixels.
    taken : str
        Day that the camera wrote, as ``YYYY-MM-DD``; empty where it wrote none.
    """

    large: bytes
    small: bytes
    width: int
    height: int
    taken: str

    @property
    def digest(self) -> str:
        """SHA-256 of the large one."""
        return hashlib.sha256(self.large).hexdigest()


def read_picture(stream: IO[bytes]) -> Picture:
    """The picture in a file, upright and stripped.

    Parameters
    ----------
    stream : binary file
        JPEG, PNG, WebP or HEIC.

    Raises
    ------
    RecordError
        PHO-002 to PHO-005.
    """
    raw = stream.read(MAX_BYTES + 1)
    if len(raw) > MAX_BYTES:
        what = f"The file is larger than {MAX_BYTES // 2**20} MB."
        raise RecordError(Fault("PHO-002", what, "Take the photo at a lower setting.", field="file"))
    try:
        with warnings.catch_warnings():
            # Of many pixels: the size is checked here before any is decoded. Of a broken Exif part: it is dropped.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            warnings.simplefilter("ignore", UserWarning)
            with Image.open(io.BytesIO(raw), formats=KINDS) as image:
                _refuse_size(image)
                taken = _day_of(image)
                upright = _upright(image)
    except Image.DecompressionBombError as error:
        raise _too_many_pixels("very many") from error
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError) as error:
        hint = "Choose a JPEG, PNG, WebP or HEIC photo; if it is one, save it again."
        raise RecordError(Fault("PHO-003", "The file is no picture that can be read.", hint, field="file")) from error
    small = upright.copy()
    small.thumbnail((SMALL_SIDE, SMALL_SIDE))
    return Picture(_jpeg(upright), _jpeg(small), upright.width, upright.height, taken)


def _refuse_size(image: Image.Image) -> None:
    """Refuse a picture that is too large to open, or too small to mark."""
    if image.width * image.height > MAX_PIXELS:
        raise _too_many_pixels(f"{image.width * image.height / 1e6:.0f} million")
    if min(image.size) < LEAST_SIDE:
        what = f"The picture has only {image.width} by {image.height} pixels."
        raise RecordError(Fault("PHO-005", what, "Choose the photo itself, not its preview.", field="file"))


def _too_many_pixels(how_many: str) -> RecordError:
    what = f"The picture has {how_many} pixels, at most {MAX_PIXELS // 10**6} million can be opened."
    return RecordError(Fault("PHO-004", what, "Take the photo at a lower setting.", field="file"))


def _day_of(image: Image.Image) -> str:
    """Day that the camera wrote."""
    written = image.getexif().get_ifd(_EXIF_FOLDER).get(_TAKEN)
    text = written[:10].replace(":", "-") if isinstance(written, str) else ""
    try:
        return str(PartialDate.parse(text)) if len(text) == 10 else ""
    except ValueError:
        return ""


def _upright(image: Image.Image) -> Image.Image:
    """Pixels as they are to be seen, in plain colours, no longer than a stored picture may be."""
    image.draft("RGB", (LONG_SIDE, LONG_SIDE))  # lets a JPEG be decoded smaller at once
    turned = ImageOps.exif_transpose(image)
    if turned.mode in {"RGBA", "LA", "PA"} or "transparency" in turned.info:
        ground = Image.new("RGBA", turned.size, "white")
        turned = Image.alpha_composite(ground, turned.convert("RGBA"))
    plain = turned.convert("RGB")
    plain.thumbnail((LONG_SIDE, LONG_SIDE), Image.Resampling.LANCZOS)
    return plain


def _jpeg(image: Image.Image) -> bytes:
    """JPEG file of the pixels alone."""
    bare = Image.new("RGB", image.size)
    bare.paste(image)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def path_of(key: uuid.UUID, *, is_small: bool = False) -> Path:
    """Where the picture of a photo lies."""
    return Path(settings.HOLDBACK_DATA) / "photos" / f"{key}{'-small' if is_small else ''}.jpg"


def store(key: uuid.UUID, picture: Picture) -> None:
    """Write both files of a photo, each whole or not at all."""
    for content, is_small in ((picture.large, False), (picture.small, True)):
        path = path_of(key, is_small=is_small)
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        part = path.with_suffix(".part")
        part.write_bytes(content)
        part.replace(path)


def discard(key: uuid.UUID) -> None:
    """Delete the files of a photo that was never recorded."""
    for is_small in (False, True):
        path_of(key, is_small=is_small).unlink(missing_ok=True)
