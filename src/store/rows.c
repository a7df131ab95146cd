/* rows.c - what every record of the store room is read by. */
#include "rows.h"

#include "memory.h"

enum status
rows_list(struct store *store, const char *sql, const char *owner, int64_t id, size_t size, row_loader load,
          void **ret_array, size_t *ret_count, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql, failure);
    unsigned char *array = NULL;
    size_t count = 0, capacity = 0;
    enum status status;
    bool row = false;

    *ret_array = NULL;
    *ret_count = 0;
    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, owner, id);
    while ((status = statement_step(statement, &row, failure)) == STATUS_OK && row) {
        array = memory_room(array, count, &capacity, size);
        load(statement, array + count++ * size);
    }
    statement_done(statement);
    *ret_array = array;
    *ret_count = count;
    return status;
}

enum status
rows_find(struct store *store, const char *sql, const char *what, int64_t id, void *ret_element,
          row_loader load, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql, failure);
    enum status status;
    bool row = false;

    if (statement == NULL)
        return failure->status;
    statement_bind_int(statement, ":id", id);
    status = statement_step(statement, &row, failure);
    if (status == STATUS_OK && !row)
        status = failure_set(failure, STATUS_MISSING, "there is no %s number %lld", what, (long long)id);
    if (status == STATUS_OK)
        load(statement, ret_element);
    statement_done(statement);
    return status;
}
