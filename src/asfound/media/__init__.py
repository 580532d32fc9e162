"""Files to arrays and back: opening pictures and clips of any format, safely, and making smaller pictures of them.

OpenCV is given bytes only, never file names: it crashes on names that are not UTF-8.
"""
