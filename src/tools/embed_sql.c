/* embed_sql.c - build tool: turns .sql files into C.
 *
 * embed_sql OUTPUT.c OUTPUT.h FILE.sql ...
 * (1) A file in a folder named schema is one migration; they are numbered by their order.
 * (2) In every other file each statement follows a line "-- name: NAME" and becomes sql_NAME.
 * (3) The schema that the migrations up to each make is hashed by sql_schema_rows (schema_hash.h). */
#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "schema_hash.h"

enum { MIGRATIONS_MOST = 100 };

/* A text as it was read, without remarks. */
struct held {
    FILE *stream;
    char *text;
    size_t size;
};

struct output {
    FILE *code, *header;
    int migrations;
    struct held migration[MIGRATIONS_MOST], schema_rows; /* for rule 3 */
    struct held *holding; /* what the lines that come now go to; NULL: none of them */
};

static void
stop(const char *path, int line, const char *what)
{
    fprintf(stderr, "%s:%d: %s\n", path, line, what);
    exit(1);
}

static void
hold(struct output *output, struct held *held)
{
    held->stream = open_memstream(&held->text, &held->size);
    output->holding = held;
}

static void
write_literal(struct output *output, const char *line)
{
    FILE *code = output->code;

    if (output->holding != NULL)
        fputs(line, output->holding->stream);
    fputs("    \"", code);
    for (; *line != '\0' && *line != '\n'; line++) {
        if (*line == '"' || *line == '\\')
            fputc('\\', code);
        fputc(*line, code);
    }
    fputs("\\n\"\n", code);
}

static bool
is_comment(const char *line)
{
    return strncmp(line, "--", 2) == 0 || *line == '\n';
}

static void
embed_migration(struct output *output, const char *path, FILE *input)
{
    char line[1024];

    if (output->migrations == MIGRATIONS_MOST)
        stop(path, 0, "too many migrations");
    hold(output, &output->migration[output->migrations]);
    fprintf(output->code, "static const char migration_%d[] =\n", ++output->migrations);
    for (int number = 1; fgets(line, sizeof line, input) != NULL; number++) {
        if (strchr(line, '\n') == NULL)
            stop(path, number, "line too long, or the last one does not end");
        if (!is_comment(line))
            write_literal(output, line);
    }
    fputs("    ;\n", output->code);
}

static void
begin_statement(struct output *output, const char *path, int number, char *line, bool open)
{
    char *name = line + strlen("-- name:");

    while (isspace((unsigned char)*name))
        name++;
    name[strcspn(name, " \n")] = '\0';
    if (*name == '\0')
        stop(path, number, "a statement without a name");
    if (open)
        fputs("    ;\n", output->code);
    fprintf(output->header, "extern const char sql_%s[];\n", name);
    fprintf(output->code, "const char sql_%s[] =\n", name);
    output->holding = NULL;
    if (strcmp(name, "schema_rows") == 0)
        hold(output, &output->schema_rows);
}

static void
embed_statements(struct output *output, const char *path, FILE *input)
{
    char line[1024];
    bool open = false;

    for (int number = 1; fgets(line, sizeof line, input) != NULL; number++) {
        if (strchr(line, '\n') == NULL)
            stop(path, number, "line too long, or the last one does not end");
        if (strncmp(line, "-- name:", 8) == 0) {
            begin_statement(output, path, number, line, open);
            open = true;
        } else if (!is_comment(line)) {
            if (!open)
                stop(path, number, "a statement before the first -- name:");
            write_literal(output, line);
        }
    }
    if (open)
        fputs("    ;\n", output->code);
}

static void
embed(struct output *output, const char *path)
{
    FILE *input = fopen(path, "r");

    if (input == NULL)
        stop(path, 0, "cannot open");
    if (strstr(path, "schema/") != NULL)
        embed_migration(output, path, input);
    else
        embed_statements(output, path, input);
    fclose(input);
}

/* Rule 3. */
static void
write_hashes(struct output *output)
{
    sqlite3 *handle = NULL;

    if (output->schema_rows.stream == NULL || sqlite3_open(":memory:", &handle) != SQLITE_OK)
        stop("schema_rows", 0, "there is no such statement, or no database");
    fclose(output->schema_rows.stream);
    fputs("const char *const sql_schema_hashes[] = {\n", output->code);
    for (int i = 0; i < output->migrations; i++) {
        char hash[SCHEMA_HASH_SIZE];

        fclose(output->migration[i].stream);
        if (sqlite3_exec(handle, output->migration[i].text, NULL, NULL, NULL) != SQLITE_OK ||
            schema_hash(handle, output->schema_rows.text, hash) != SQLITE_OK)
            stop("schema", i + 1, sqlite3_errmsg(handle));
        fprintf(output->code, "    \"%s\",\n", hash);
        free(output->migration[i].text);
    }
    fputs("};\n", output->code);
    free(output->schema_rows.text);
    sqlite3_close(handle);
}

int
main(int argc, char **argv)
{
    struct output output = {0};

    if (argc < 4)
        stop("embed_sql", 0, "expected OUTPUT.c OUTPUT.h FILE.sql ...");
    output.code = fopen(argv[1], "w");
    output.header = fopen(argv[2], "w");
    if (output.code == NULL || output.header == NULL)
        stop(argv[1], 0, "cannot write");
    fputs("/* Made from .sql files while building. */\n#include \"sql.h\"\n", output.code);
    fputs("/* Made from .sql files while building. */\n#ifndef SQL_H\n#define SQL_H\n", output.header);
    for (int i = 3; i < argc; i++)
        embed(&output, argv[i]);
    fputs("const char *const sql_migrations[] = {", output.code);
    for (int i = 1; i <= output.migrations; i++)
        fprintf(output.code, "migration_%d, ", i);
    fprintf(output.code, "};\nconst int sql_migration_count = %d;\n", output.migrations);
    write_hashes(&output);
    fputs("extern const char *const sql_migrations[], *const sql_schema_hashes[];\n"
          "extern const int sql_migration_count;\n#endif\n",
          output.header);
    if (fclose(output.code) != 0 || fclose(output.header) != 0)
        stop(argv[1], 0, "cannot write");
    return 0;
}
