"""One verb per module: the only place where the core meets files and the store. Both faces call these."""
