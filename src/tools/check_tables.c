/* check_tables.c - build tool: stop the build at a reference row that the program would not know.
 *
 * Use: check_tables OUT, which is written when all is well. */
#include <stdio.h>

#include "known_rows.h"

int
main(int argc, char **argv)
{
    struct failure failure = {0};
    FILE *stamp;

    if (argc != 2) {
        fprintf(stderr, "use: check_tables OUT\n");
        return status_exit_code(STATUS_USAGE);
    }
    if (known_rows_buffers(table_buffers, table_buffers_length, &failure) != STATUS_OK ||
        known_rows_acids(table_acid_constants, table_acid_constants_length, &failure) != STATUS_OK) {
        fprintf(stderr, "check_tables: %s\n", failure.text);
        return status_exit_code(failure.status);
    }
    stamp = fopen(argv[1], "wb");
    if (stamp == NULL || fclose(stamp) != 0) {
        fprintf(stderr, "check_tables: cannot write '%s'\n", argv[1]);
        return status_exit_code(STATUS_SYSTEM);
    }
    return 0;
}
