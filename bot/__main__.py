"""`python -m bot` is `hatchbell`."""

from bot.cli import main

if __name__ == "__main__":
    main()
