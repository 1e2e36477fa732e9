"""The label in a photo: found, decoded, and how much of its error correction the dirt has left.

A photo comes from anybody's telephone, so its bytes and its pixels are limited before anything is decoded. It is held
only while it is read.
"""

from torqueaudit.photo.apart import read_apart
from torqueaudit.photo.decode import Seen, another, read_photo
from torqueaudit.photo.pictures import MOST_BYTES, NotRead

__all__ = ["MOST_BYTES", "NotRead", "Seen", "another", "read_apart", "read_photo"]
