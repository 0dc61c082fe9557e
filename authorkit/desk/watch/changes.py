"""Which sources of a manual were changed: told a moment after they are saved, and only if they say something new."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from threading import Event

from watchfiles import Change, watch

from authorkit.facts.read_book import CHAPTERS
from authorkit.facts.read_recipe import RECIPE_FILE
from authorkit.facts.sources import FIGURES, is_source, source_digest, source_files

_QUIET_MS = 120  # several files saved together are one change
_STEP_MS = 40
_LOOK_MS = 1500  # how often it is looked whether a watched folder was replaced by another


def changes(folder: Path, stop: Event) -> Iterator[tuple[str, ...]]:
    """The sources that changed, in order, each time some did; ends after `stop` is set.

    A notebook whose cells say the same as before has not changed, whatever outputs were stored in it.
    """
    digests = {file: source_digest(folder, file) for file in source_files(folder)}
    while not stop.is_set():
        for paths in _saved(folder, stop, digests):
            changed = []
            for file in sorted(_files(folder, paths, digests)):
                digest = source_digest(folder, file)
                if digests.get(file, "") != digest:
                    digests[file] = digest
                    changed.append(file)
            if changed:
                yield tuple(changed)


def _files(folder: Path, paths: set[str], known: Iterable[str]) -> set[str]:
    """The sources that these paths are; of a folder that came or went those below it, of which nobody may have told."""
    there = {*source_files(folder), *known}
    return {file for file in there if any(file == path or file.startswith(f"{path}/") for path in paths)}


def _saved(folder: Path, stop: Event, known: Iterable[str]) -> Iterator[set[str]]:
    """The files and folders that were written, until one of the watched folders is replaced by another.

    At first all there are and all that are known, for one may have slipped through while nobody watched.
    """
    roots, resolved = _roots(folder), folder.resolve()
    yield {*source_files(folder), *known}

    def wanted(_change: Change, path: str) -> bool:
        relative = _relative(path, resolved)
        return is_source(relative) or not Path(relative).suffix

    watched = watch(
        *(path for path, _ in roots),
        watch_filter=wanted,
        debounce=_QUIET_MS,
        step=_STEP_MS,
        stop_event=stop,
        rust_timeout=_LOOK_MS,
        yield_on_timeout=True,
        raise_interrupt=True,
    )
    for found in watched:
        if found:
            yield {_relative(path, resolved) for _, path in found}
        if _roots(folder) != roots:
            return


def _roots(folder: Path) -> tuple[tuple[str, int], ...]:
    """The folders to watch that are there, each with what tells it from another of the same name."""
    names = (CHAPTERS, FIGURES, Path(RECIPE_FILE).parent.as_posix())
    paths = [folder.resolve() / name for name in names]
    return tuple((str(path), path.stat().st_ino) for path in paths if path.is_dir())


def _relative(path: str, folder: Path) -> str:
    found = Path(path)
    return found.relative_to(folder).as_posix() if found.is_relative_to(folder) else f".{found.name}"
