"""The label in a photo: found, decoded, and how much of its error correction the dirt has left; and photos of work.

A photo comes from anybody's telephone, so its bytes and its pixels are limited before anything is decoded. One of a
label is held only while it is read; one of work is made harmless before it is kept.
"""

from torqueaudit.photo.apart import make_harmless_apart, make_shown_apart, read_apart, read_text_apart
from torqueaudit.photo.decode import Seen, another, read_photo
from torqueaudit.photo.harmless import Area, Harmless, read_areas, shape_of
from torqueaudit.photo.pictures import MOST_BYTES, NotRead

__all__ = [
    "MOST_BYTES",
    "Area",
    "Harmless",
    "NotRead",
    "Seen",
    "another",
    "make_harmless_apart",
    "make_shown_apart",
    "read_apart",
    "read_areas",
    "read_photo",
    "read_text_apart",
    "shape_of",
]
