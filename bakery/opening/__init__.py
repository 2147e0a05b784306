"""What `manage.py open` does, a room for each part: home, port, first login, worker, welcome, server."""


class CannotOpen(Exception):
    """Dryby cannot be opened here; the message is the one sentence to print, `code` the exit code."""

    def __init__(self, sentence: str, code: int = 2):
        super().__init__(sentence)
        self.code = code
