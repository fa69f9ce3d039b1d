"""`python -m pantrymeals`."""

from pantrymeals.cli.main import main

main()
