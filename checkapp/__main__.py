"""``python -m checkapp``: the same as the command."""

from checkapp.cli import main

main()
