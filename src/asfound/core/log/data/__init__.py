"""Lists that ship with the package."""
