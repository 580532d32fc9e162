"""All the SQL. Rows in, frozen dataclasses out; nothing here decides anything."""
