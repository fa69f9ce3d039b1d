"""`python -m pantrymeals`."""

from pantrymeals.cli import main

main()
