"""Tape numbers and printed markers read in a picture. Everything here is a proposal for a person to confirm."""
