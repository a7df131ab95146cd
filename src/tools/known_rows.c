/* known_rows.c - reference rows that the program would not know. */
#include "known_rows.h"

#include <stdbool.h>
#include <string.h>

#include "acid.h"
#include "buffer.h"

enum status
known_rows_buffers(const struct buffer_row *rows, size_t count, struct failure *failure)
{
    for (size_t i = 0; i < count; i++) {
        const struct buffer *buffer = NULL;
        struct failure unknown = {0};

        if (buffer_find(rows[i].buffer, &buffer, &unknown) != STATUS_OK ||
            strcmp(buffer->name, rows[i].buffer) != 0)
            return failure_set(failure, STATUS_MISSING,
                               "buffers.csv: the program does not know '%s': name it in science/buffer.c",
                               rows[i].buffer);
    }
    return STATUS_OK;
}

static bool
acid_known(const struct acid_constant_row *row)
{
    if (strstr(row->acid, "in soap solution") != NULL)
        return true;
    for (int i = 0; i < ACID_COUNT; i++)
        if (strcmp(acid_name((enum acid)i), row->acid) == 0)
            return row->step <= acid_steps((enum acid)i);
    return false;
}

enum status
known_rows_acids(const struct acid_constant_row *rows, size_t count, struct failure *failure)
{
    for (size_t i = 0; i < count; i++)
        if (!acid_known(&rows[i]))
            return failure_set(
                failure, STATUS_MISSING,
                "acid_constants.csv: the program does not know step %g of '%s': name it in science/acid.c",
                rows[i].step, rows[i].acid);
    return STATUS_OK;
}
