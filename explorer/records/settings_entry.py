"""Puts new settings into a record: one change, with the text kept as a file, so that none is lost."""

import hashlib
from pathlib import Path

import sqlalchemy as sa

from explorer.model.programme_text import read_programme
from explorer.records import schema
from explorer.records.change_entry import begin_change
from explorer.records.connections import transaction
from explorer.records.copies import make_dated_copy
from explorer.records.corrections import said_by, writable_path
from explorer.records.ids import ids_by_code
from explorer.records.ledger import settings_hash
from explorer.records.migration import bring_up_to_date
from explorer.records.record import Record

__all__ = ["change_settings"]

SETTINGS_FILE = "programme.toml"


def change_settings(record: Record | Path, text: str, *, who: str, why: str) -> int:
    """Put a programme's settings into a record in the place of those that it carries.

    A dated copy is made before. Quantities that the settings add are added; none is ever taken away. Stored
    season tables are out of date afterwards.

    Parameters
    ----------
    record : Record or Path
        A GeoPackage.
    text : str
        The settings' TOML.
    who, why : str
        As typed; neither may be empty.

    Returns
    -------
    int
        The record's new version.

    Raises
    ------
    ProgrammeError
        If a setting is wrong: file, line, key and cure.
    RecordError
        If the record takes no changes or cannot be written.
    """
    path, author, reason = writable_path(record), *said_by(who, why)
    programme = read_programme(text, SETTINGS_FILE)
    bring_up_to_date(path)
    make_dated_copy(path)
    with transaction(path) as connection:
        change = begin_change(connection, path, kind="settings", who=author, why=reason)
        short = settings_hash(text)
        connection.execute(schema.record_info.update().values(settings=text, settings_hash=short))
        latest = schema.changes.c.change_id == change
        connection.execute(schema.changes.update().where(latest).values(settings_hash=short))
        _keep(connection, text, change)
        known = ids_by_code(connection, schema.quantities.c.code, schema.quantities.c.quantity_id)
        added = [each for each in programme.quantities.values() if each.code not in known]
        if added:
            rows = [{"code": each.code, "name": each.name, "unit": each.unit} for each in added]
            connection.execute(schema.quantities.insert(), rows)
    return change


def _keep(connection: sa.Connection, text: str, change: int) -> None:
    """Keep the text as a file in the place of the one before it."""
    files, content = schema.files, text.encode()
    standing = files.c.left_in.is_(None)
    before = (files.c.name == SETTINGS_FILE) & standing
    connection.execute(files.update().where(before).values(left_in=change))
    checksum = hashlib.sha256(content).hexdigest()
    if (
        connection.execute(sa.select(files.c.file_id).where(files.c.sha256 == checksum, standing)).first()
        is None
    ):
        row = {"name": SETTINGS_FILE, "sha256": checksum, "content": content, "entered_in": change}
        connection.execute(files.insert(), row)
