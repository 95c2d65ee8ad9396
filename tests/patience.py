"""How long tests wait for what must come: on a busy machine five seconds were not enough now and then."""

from collections.abc import Callable

from pytestqt.qtbot import QtBot

PATIENCE_MS = 20_000


class PatientBot(QtBot):
    """Waits on conditions, and longer than usual; a test that passes takes no longer for it."""

    def waitUntil(self, callback: Callable[[], bool | None], *, timeout: int = PATIENCE_MS) -> None:
        """Wait until the condition holds, or fail."""
        super().waitUntil(callback, timeout=timeout)
