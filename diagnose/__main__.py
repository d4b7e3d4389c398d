"""``python -m diagnose``."""

from diagnose.screen.main import run

if __name__ == "__main__":
    run()
