"""Labels to print: on sheets of stickers, as flags and bands for a cable, and as tape for a label printer."""
