"""The nouns of a teardown, as frozen dataclasses. Nothing here computes, reads or writes."""
