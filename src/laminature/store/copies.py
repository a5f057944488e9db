"""Dated copies: when one is due, what it is called, and which are kept as they grow older."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

#: No two copies are nearer to each other than this.
APART = timedelta(seconds=60)
#: All copies are kept so long, then one an hour so long, then one a day.
ALL, HOURLY = timedelta(hours=1), timedelta(days=1)
#: No more copies than this are kept.
MOST = 150

_FORM = "%Y%m%dT%H%M%SZ.toml"


def stamp(moment: datetime) -> str:
    """The file name of a copy made at ``moment``; names sort by time."""
    return moment.astimezone(UTC).strftime(_FORM)


def time_of(name: str) -> datetime:
    """When a copy was made. Raises ValueError for a name that is none of a copy."""
    return datetime.strptime(name, _FORM).replace(tzinfo=UTC)


def due(newest: str, now: datetime) -> bool:
    """Whether so much time has gone by since the newest copy that another is due."""
    return not timedelta(0) <= now - time_of(newest) < APART


def thinned(names: Iterable[str], now: datetime) -> set[str]:
    """The copies that are kept: all of the last hour, one of each hour of a day, then of each day."""
    kept: dict[tuple[str, str], str] = {}
    for name in sorted(names):
        age = now - time_of(name)
        slot = ("", name) if age < ALL else ("hour", name[:11]) if age < HOURLY else ("day", name[:8])
        kept[slot] = name
    return set(sorted(kept.values())[-MOST:])
