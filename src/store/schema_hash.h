/* schema_hash.h - one hash for all tables, indexes and triggers of a database: taken while building, for each released
 * version, and again of every notebook that is opened. */
#ifndef SCHEMA_HASH_H
#define SCHEMA_HASH_H

#include <sqlite3.h>

enum { SCHEMA_HASH_SIZE = 65 };

/* The BLAKE2b-256 over every column of every row of `rows_sql` (sql/schema.sql, schema_rows), each behind its length, in
 * hexadecimal. Gives SQLite's result code; ret_hash is set on SQLITE_OK. */
int schema_hash(sqlite3 *handle, const char *rows_sql, char ret_hash[SCHEMA_HASH_SIZE]);

#endif
