"""Brings a record of an older format up to date: in one transaction, after a dated copy."""

from pathlib import Path

import sqlalchemy as sa

from explorer.records import schema
from explorer.records.connections import connect, transaction
from explorer.records.copies import make_dated_copy
from explorer.records.geopackage import create_views, register_table

__all__ = ["bring_up_to_date"]


def bring_up_to_date(path: Path) -> bool:
    """Give a record of an older format the tables that this version writes; a current one stays untouched.

    Parameters
    ----------
    path : Path
        A record.

    Returns
    -------
    bool
        Whether anything was changed.

    Raises
    ------
    RecordError
        If the copy before it or the change itself cannot be written.
    """
    if _format_of(path) >= schema.FORMAT:
        return False
    make_dated_copy(path)
    with transaction(path) as connection:
        if connection.execute(sa.select(schema.record_info.c.format)).scalar_one() >= schema.FORMAT:
            return False  # somebody else was first
        _rebuild(connection)
        connection.execute(schema.record_info.update().values(format=schema.FORMAT))
    return True


def _format_of(path: Path) -> int:
    engine = connect(path, write=False)
    try:
        with engine.connect() as connection:
            return int(connection.execute(sa.select(schema.record_info.c.format)).scalar_one())
    except sa.exc.DatabaseError:
        return schema.FORMAT  # no record at all: whoever writes to it says so
    finally:
        engine.dispose()


def _rebuild(connection: sa.Connection) -> None:
    """Make every table that differs anew, with the rows that it held; SQLite cannot change a column."""
    names = connection.exec_driver_sql("SELECT name FROM sqlite_schema WHERE type = 'view'").scalars().all()
    for name in names:
        if name.startswith("current_"):
            connection.exec_driver_sql(f'DROP VIEW "{name}"')
    connection.exec_driver_sql("PRAGMA legacy_alter_table = ON")  # else other tables follow the old name
    inspector = sa.inspect(connection)
    for table in (schema.files, schema.visits, schema.readings):
        old = {column["name"] for column in inspector.get_columns(table.name)}
        for index in inspector.get_indexes(table.name):
            connection.exec_driver_sql(f'DROP INDEX "{index["name"]}"')
        connection.exec_driver_sql(f"ALTER TABLE {table.name} RENAME TO old_{table.name}")
        table.create(connection)
        kept = ", ".join(f'"{column.name}"' for column in table.columns if column.name in old)
        connection.exec_driver_sql(f"INSERT INTO {table.name} ({kept}) SELECT {kept} FROM old_{table.name}")
        connection.exec_driver_sql(f"DROP TABLE old_{table.name}")
    connection.exec_driver_sql("PRAGMA legacy_alter_table = OFF")
    schema.metadata.create_all(connection)
    create_views(connection)
    for name in schema.metadata.tables:
        register_table(connection, name)
