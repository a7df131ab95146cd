/* schema_hash.c - one hash for all tables, indexes and triggers of a database. */
#include "schema_hash.h"

#include <sodium.h>

static void
add_column(crypto_generichash_state *state, sqlite3_stmt *row, int column)
{
    const unsigned char *text = sqlite3_column_text(row, column);
    int length = sqlite3_column_bytes(row, column);
    const unsigned char prefix[] = {(unsigned char)(length >> 24), (unsigned char)(length >> 16),
                                    (unsigned char)(length >> 8), (unsigned char)length};

    crypto_generichash_update(state, prefix, sizeof prefix);
    if (text != NULL)
        crypto_generichash_update(state, text, (unsigned long long)length);
}

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
        for (int column = 0; column < sqlite3_column_count(rows); column++)
            add_column(&state, rows, column);
    }
    sqlite3_finalize(rows);
    if (code != SQLITE_DONE)
        return code;
    crypto_generichash_final(&state, hash, sizeof hash);
    sodium_bin2hex(ret_hash, SCHEMA_HASH_SIZE, hash, sizeof hash);
    return SQLITE_OK;
}
