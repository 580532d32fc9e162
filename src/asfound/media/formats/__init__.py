"""One module per format, each with its `FORMAT`. Modules that begin with an underscore are shared by several."""
