"""Sheets of paper as files: fonts, and pages as PDF."""
