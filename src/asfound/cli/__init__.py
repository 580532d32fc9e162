"""The command line: thin modules that parse words, call one action, and print what it gave."""
