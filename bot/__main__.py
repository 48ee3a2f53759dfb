"""`python -m bot`."""

from bot.main import main

if __name__ == "__main__":
    raise SystemExit(main())
