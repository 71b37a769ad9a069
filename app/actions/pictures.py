"""Photos as they are kept: told by content, turned upright, made smaller, without place or camera."""

import hashlib
import io
import warnings
from dataclasses import dataclass

from app.actions.errors import Refused

MOST_BYTES = 3_500_000
MOST_PIXELS = 40_000_000
LONGEST_PX = 1600
_KINDS = ("JPEG", "PNG", "WEBP")


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo as it is kept."""

    jpeg: bytes
    width_px: int
    height_px: int
    sha256: str


def kept_picture(sent: bytes, longest_px: int = LONGEST_PX) -> Picture:
    """Give a photo as it is kept; Refused when it is none, too large, or not whole."""
    # The library takes a while to import: only photos pay for it.
    from PIL import Image, ImageFile, ImageOps  # noqa: PLC0415

    # The PDF printer, once loaded, lets cut pictures pass in the whole process.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    if len(sent) > MOST_BYTES:
        raise Refused(f"The photo has {len(sent) / 1e6:.1f} MB; send one of up to {MOST_BYTES / 1e6:.1f} MB.")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            # Told by its content, never by its name; formats that are not on the list are not even tried.
            with Image.open(io.BytesIO(sent), formats=_KINDS) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    raise Refused(
                        f"The photo has {opened.width} × {opened.height} pixels; send one of up to "
                        f"{MOST_PIXELS // 1_000_000} million."
                    )
                if not _is_whole(sent, opened.format or ""):
                    raise Refused("The photo did not arrive whole; send it again.")
                upright = ImageOps.exif_transpose(opened)
                upright = upright.convert("RGBA" if upright.has_transparency_data else "RGB")
    except Refused:
        raise
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError, Warning) as fault:
        raise Refused("This is not a photo that can be read; send a JPEG, PNG or WebP.") from fault
    upright.thumbnail((longest_px, longest_px))
    # A new image takes pixels alone along: no place, no camera, no time of the device.
    # A drawing without a ground lies on paper.
    bare = Image.new("RGB", upright.size, "white")
    bare.paste(upright, mask=upright if upright.mode == "RGBA" else None)
    written = io.BytesIO()
    bare.save(written, "JPEG", quality=82, optimize=True)
    jpeg = written.getvalue()
    return Picture(jpeg, bare.width, bare.height, hashlib.sha256(jpeg).hexdigest())


def _is_whole(sent: bytes, form: str) -> bool:
    """Tell whether a file has its end."""
    if form == "JPEG":
        return sent.rfind(b"\xff\xd9") > sent.rfind(b"\xff\xda")
    if form == "PNG":
        return b"IEND" in sent[-64:]
    return len(sent) >= int.from_bytes(sent[4:8], "little") + 8
