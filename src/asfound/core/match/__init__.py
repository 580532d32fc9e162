"""Which pictures show one place, and where a point of one lies in another.

Pure: arrays and frozen dataclasses in, dataclasses out. In story order: `features` describes a picture, `place`
shortlists, `verify` compares two pictures, `spots` and `pairs` sort them, `scene` gives a spot its depth, `carry` takes
pins along, `query` finds the originals of a photo of today and `compare` shows what differs after refitting.
"""

IN_USE = "patches"
"""The way that pictures are described, a module of `methods`. Others can lie beside it in an archive's cache."""
