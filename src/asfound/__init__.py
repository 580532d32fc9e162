"""asfound: the record of how a machine was before anyone touched it."""

__version__ = "0.1.0"
