"""Pictures that tests send, as the imaging library writes them."""

import io

from PIL import Image


def picture(form, side=8, **saved_with) -> bytes:
    """A picture as the imaging library writes it."""
    made = io.BytesIO()
    Image.new("RGB", (side, side), (180, 120, 60)).save(made, form, **saved_with)
    return made.getvalue()
