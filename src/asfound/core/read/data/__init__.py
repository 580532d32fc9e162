"""Trained tables that ship with the package."""
