"""A PostgreSQL server of the tests' own: started in a folder of its own, reached by a socket there, thrown away."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from urllib.parse import quote

INSTALLED = "/usr/lib/postgresql"  # Debian keeps the server's programs out of the path
OLDEST = 15
HOW_TO_GET_ONE = (
    "No PostgreSQL server here (15 or newer): apt install postgresql,"
    " or name the folder of its initdb in EBBLINE_PG_BIN."
)
MEMORY = Path("/dev/shm")
"""Kept in memory where there is such a place: no test cuts the power."""


def server_programs() -> Path | None:
    """Folder of initdb and pg_ctl, of the newest release there is."""
    versions = sorted(Path(INSTALLED).glob("*/bin"), key=lambda place: float(place.parent.name), reverse=True)
    versions = [place for place in versions if float(place.parent.name) >= OLDEST]
    found = shutil.which("initdb")
    places = [os.environ.get("EBBLINE_PG_BIN"), *map(str, versions), Path(found).parent if found else None]
    return next((Path(place) for place in places if place and (Path(place) / "pg_ctl").exists()), None)


@dataclass(slots=True)
class Server:
    """A running server; `with` starts and stops it."""

    programs: Path
    folder: Path = Path()

    def __enter__(self) -> Server:
        place = MEMORY if os.access(MEMORY, os.W_OK) else Path("/tmp")  # a socket's path must be short
        self.folder = Path(tempfile.mkdtemp(prefix="ebb-pg-", dir=place))
        if (user := self._user()) is not None:
            shutil.chown(self.folder, user, pwd.getpwnam(user).pw_gid)
        self._run("initdb", "-D", "data", "-U", "ebbline", "-A", "trust", "-E", "UTF8", "--no-sync")
        self.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def start(self) -> None:
        """Start it; it answers when this returns."""
        options = f"-c listen_addresses='' -c unix_socket_directories={self.folder} -c fsync=off"
        self._run("pg_ctl", "-D", "data", "-w", "-l", "log", "-o", options, "start")

    def stop(self) -> None:
        """Stop it at once, whoever is connected."""
        self._run("pg_ctl", "-D", "data", "-w", "-m", "immediate", "stop")

    def url(self, database: str) -> str:
        """Address of a database."""
        return f"postgresql+psycopg://ebbline@/{database}?host={quote(str(self.folder), safe='')}"

    def sql(self, statement: str) -> None:
        """Run one statement that belongs to no store."""
        self._run("psql", "-h", str(self.folder), "-U", "ebbline", "-d", "postgres", "-qc", statement)

    def _user(self) -> str | None:
        """The server refuses to run as root; then it is somebody else's."""
        if os.geteuid() != 0:
            return None
        names = {one.pw_name for one in pwd.getpwall()}
        return "postgres" if "postgres" in names else "nobody"

    def _run(self, program: str, *arguments: str) -> None:
        name = self._user()
        user = None if name is None else pwd.getpwnam(name)
        path = self.programs / program
        done = subprocess.run(
            [str(path) if path.exists() else program, *arguments],
            cwd=self.folder,
            user=None if user is None else user.pw_uid,
            group=None if user is None else user.pw_gid,
            extra_groups=None if user is None else [],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE
            if program != "pg_ctl"
            else subprocess.DEVNULL,  # the server would keep it open
            env={**os.environ, "HOME": str(self.folder)},
            check=False,
        )
        if done.returncode != 0:
            log = self.folder / "log"
            told = log.read_text(errors="replace")[-2000:] if log.exists() else ""
            raise RuntimeError(f"{program} failed: {(done.stderr or b'').decode(errors='replace')}{told}")
