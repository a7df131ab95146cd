/* schema_hash.c - one hash for all tables, indexes and triggers of a database. */
#include "schema_hash.h"

#include <sodium.h>

int
schema_hash(sqlite3 *handle, const char *rows_sql, char ret_hash[SCHEMA_HASH_SIZE])
{
    crypto_generichash_state state;
    unsigned char hash[SCHEMA_HASH_SIZE / 2];
    sqlite3_stmt *rows = NULL;
    int code = sqlite3_prepare_v2(handle, rows_sql, -1, &rows, NULL);

    if (code != SQLITE_OK)
        return code;
    crypto_generichash_init(&state, NULL, 0, sizeof hash);
    while ((code = sqlite3_step(rows)) == SQLITE_ROW) {
        const unsigned char *text = sqlite3_column_text(rows, 2);

        if (text != NULL)
            crypto_generichash_update(&state, text, (unsigned long long)sqlite3_column_bytes(rows, 2));
        crypto_generichash_update(&state, (const unsigned char *)"\n", 1);
    }
    sqlite3_finalize(rows);
    if (code != SQLITE_DONE)
        return code;
    crypto_generichash_final(&state, hash, sizeof hash);
    sodium_bin2hex(ret_hash, SCHEMA_HASH_SIZE, hash, sizeof hash);
    return SQLITE_OK;
}
