"""Kinds of sheets, one module each with `SHEET`; found by being here."""
