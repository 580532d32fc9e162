"""Pictures as characters of a terminal: sampling, fitting to block glyphs, colour codes, labels. Needs no Textual."""
