"""Codes on a photo, and what they lead to."""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING

from holdback.errors import Fault, RecordError
from holdback.web.records.short_codes import CODE, Found, find_by_code

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 30 * 1024 * 1024
"""Size of a photo that is looked at; phones take some 3 to 12 MB."""
SIDE = 2400
"""Longer side to which a photo is made smaller at first, in pixels."""
_ADDRESS = re.compile(rf"https?://[^\s?#]*?/a/({CODE.pattern})/?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Code:
    """A code that was read.

    Parameters
    ----------
    text : str
        What it holds.
    found : Animal, Clutch, Place or None
        What it leads to in these records.
    is_label : bool
        Whether it is written like the codes of labels.
    """

    text: str
    found: Found | None
    is_label: bool


def codes_on(file: IO[bytes] | None, size: int | None = None) -> list[Code]:
    """Codes on a photo, each once; never empty.

    Parameters
    ----------
    file : file or None
        The photo as it was sent.
    size : int, optional
        Its size in bytes.

    Raises
    ------
    RecordError
        SEA-340 if there is no photo, SEA-341 if it cannot be read, SEA-342 if no code is found.
    """
    if file is None:
        raise _refused("SEA-340", "no photo was chosen.", "Take one of the label, or choose one.")
    if size is not None and size > MOST_BYTES:
        what = f"the photo has {size / 2**20:.0f} MB; at most {MOST_BYTES // 2**20} are looked at."
        raise _refused("SEA-341", what, "Send a smaller one.")
    texts = dict.fromkeys(_texts(_opened(file)))
    if not texts:
        hint = "Go closer until the code fills a third of the picture, hold still, with light from the side."
        raise _refused("SEA-342", "no code was found on the photo.", hint)
    return [code_of_text(text) for text in texts]


def code_of_text(text: str) -> Code:
    """What the text of a code leads to; an address is followed by its code alone, wherever it points."""
    match = _ADDRESS.fullmatch(text.strip())
    return Code(text[:200], find_by_code(match[1]) if match else None, match is not None)


def _refused(code: str, what: str, hint: str) -> RecordError:
    return RecordError(Fault(code, what, hint, field="photo"))


def _opened(file: IO[bytes]) -> Image:
    """The photo, upright, in shades of grey."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    from holdback.web.records.photo_files import KINDS, MAX_PIXELS  # lets HEIC be opened

    hint = "Take it again, or save it as JPEG."
    try:
        with warnings.catch_warnings():
            # Of many pixels: the size is checked here before any is decoded. Of a broken Exif part: it is dropped.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            warnings.simplefilter("ignore", UserWarning)
            image = Image.open(file, formats=KINDS)
            width, height = image.size
            if width * height > MAX_PIXELS:
                raise _refused("SEA-341", f"the photo has {width} × {height} pixels.", "Send a smaller one.")
            return ImageOps.exif_transpose(image).convert("L")
    except Image.DecompressionBombError as fault:
        raise _refused("SEA-341", "the photo has too many pixels.", "Send a smaller one.") from fault
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError) as fault:
        raise _refused("SEA-341", "the file cannot be read as a photo (JPEG, PNG, WebP, HEIC).", hint) from fault


def _texts(image: Image) -> Iterator[str]:
    """Texts of the codes on the first view of the photo that shows any."""
    import zxingcpp

    for tried in _views(image):
        read = zxingcpp.read_barcodes(tried, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode))
        found = [one.text for one in read if one.valid and one.text]
        if found:
            yield from found
            return


def _views(image: Image) -> Iterator[Image]:
    """The photo made smaller, which evens out noise; at full size; then without grain, and smaller still."""
    from PIL import ImageFilter

    small = image.copy()
    small.thumbnail((SIDE, SIDE))
    yield small
    if small.size != image.size:
        yield image
    even = small.filter(ImageFilter.MedianFilter(5))
    yield even
    if min(even.size) > 2:
        yield even.reduce(2)
