/* embed_table.c - build tool: turn a CSV file of reference values into a C table.
 *
 * Use: embed_table NAME FILE.csv OUT.c OUT.h
 *
 * Rules
 * (1) Strict CSV, the heading exactly as embed_table_schema.c has it, the same number of fields in every
 *     row.
 * (2) One wrong row and nothing is written: the message begins with file and line.
 * (3) Nothing is computed: the C table holds the texts and numbers of the file. */
#include <csv.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "embed_table_schema.h"
#include "memory.h"
#include "number.h"
#include "status.h"

struct row {
    char *fields[COLUMNS_MAX]; /* owned */
    double numbers[COLUMNS_MAX];
};

struct table {
    const struct schema *schema;
    const char *path;
    size_t line;
    char *fields[COLUMNS_MAX +
                 1]; /* of the row being read; owned. One more than needed, to see a field too many */
    size_t fields_length;
    bool heading_read;
    struct row *rows; /* owned */
    size_t rows_length, rows_capacity;
    struct failure failure; /* the first one; what follows it is ignored */
};

static void
refuse_text(struct table *table)
{
    failure_at(&table->failure, "%s:%zu: ", table->path, table->line);
}

/* Whether `word` is one of the `words` parted by '|'. */
static bool
one_of(const char *word, const char *words)
{
    size_t length = strlen(word);

    for (const char *at = words; at != NULL; at = strchr(at, '|')) {
        if (*at == '|')
            at++;
        if (length > 0 && strncmp(at, word, length) == 0 && (at[length] == '|' || at[length] == '\0'))
            return true;
    }
    return false;
}

static enum status
check_field(const struct column *column, const char *text, double *ret_number, struct failure *failure)
{
    enum status status = STATUS_OK;

    *ret_number = 0.0;
    if (text[0] == '\0') {
        if (column->may_be_empty)
            return STATUS_OK;
        return failure_set(failure, STATUS_FORMAT, "column '%s': is empty", column->name);
    }
    switch (column->kind) {
    case COLUMN_TEXT:
        break;
    case COLUMN_WORD:
        if (!one_of(text, column->words))
            return failure_set(failure, STATUS_FORMAT, "column '%s': unknown word '%s', allowed is %s",
                               column->name, text, column->words);
        break;
    case COLUMN_NUMBER:
        status = number_parse_in(text, NUMBER_POINT, "value", column->low, column->high, ret_number, failure);
        break;
    }
    return status == STATUS_OK ? STATUS_OK : failure_at(failure, "column '%s': ", column->name);
}

/* Whether two rows belong to one series. */
static bool
same_series(const struct schema *schema, const struct row *one, const struct row *other)
{
    for (size_t i = 0; i < schema->groups_length; i++) {
        if (strcmp(one->fields[schema->groups[i]], other->fields[schema->groups[i]]) != 0)
            return false;
    }
    return true;
}

static enum status
check_row(const struct table *table, struct row *row, struct failure *failure)
{
    const struct schema *schema = table->schema;

    for (size_t i = 0; i < schema->columns_length; i++) {
        const struct column *column = &schema->columns[i];

        if (check_field(column, row->fields[i], &row->numbers[i], failure) != STATUS_OK)
            return failure->status;
        if (column->ascends && row->fields[i][0] != '\0' && row->fields[i - 1][0] != '\0' &&
            row->numbers[i] < row->numbers[i - 1])
            return failure_set(failure, STATUS_RANGE, "column '%s': %s is below '%s', which is %s",
                               column->name, row->fields[i], schema->columns[i - 1].name, row->fields[i - 1]);
    }
    if (schema->groups_length == 0)
        return STATUS_OK;
    for (size_t i = table->rows_length; i > 0; i--) {
        const struct row *before = &table->rows[i - 1];

        if (!same_series(schema, row, before))
            continue;
        if (row->numbers[schema->rising] > before->numbers[schema->rising])
            break;
        return failure_set(failure, STATUS_RANGE, "column '%s': %s does not rise above %s of an earlier row",
                           schema->columns[schema->rising].name, row->fields[schema->rising],
                           before->fields[schema->rising]);
    }
    return STATUS_OK;
}

static enum status
check_heading(const struct table *table, struct failure *failure)
{
    for (size_t i = 0; i < table->schema->columns_length; i++) {
        if (strcmp(table->fields[i], table->schema->columns[i].name) != 0)
            return failure_set(failure, STATUS_FORMAT, "heading %zu is '%s', expected '%s'", i + 1,
                               table->fields[i], table->schema->columns[i].name);
    }
    return STATUS_OK;
}

static void
clear_fields(struct table *table)
{
    for (size_t i = 0; i < COLUMNS_MAX + 1; i++) {
        free(table->fields[i]);
        table->fields[i] = NULL;
    }
    table->fields_length = 0;
}

/* libcsv: a field ended. */
static void
on_field(void *text, size_t length, void *payload)
{
    struct table *table = payload;

    if (table->failure.status == STATUS_OK && memchr(text, '\0', length) != NULL) {
        failure_set(&table->failure, STATUS_FORMAT, "a NUL byte");
        refuse_text(table);
    }
    if (table->fields_length <= COLUMNS_MAX) {
        char *copy = memory_new(length + 1, 1);

        memcpy(copy, text, length);
        table->fields[table->fields_length] = copy;
    }
    table->fields_length++;
}

static void
take_row(struct table *table)
{
    struct row row = {0};

    if (table->fields_length != table->schema->columns_length) {
        failure_set(&table->failure, STATUS_FORMAT, "expected %zu fields, got %zu",
                    table->schema->columns_length, table->fields_length);
        return;
    }
    if (!table->heading_read) {
        check_heading(table, &table->failure);
        table->heading_read = true;
        return;
    }
    memcpy(row.fields, table->fields, sizeof row.fields);
    if (check_row(table, &row, &table->failure) != STATUS_OK)
        return;
    table->rows = memory_room(table->rows, table->rows_length, &table->rows_capacity, sizeof *table->rows);
    table->rows[table->rows_length++] = row;
    memset(table->fields, 0, sizeof table->fields); /* now the row's */
}

/* libcsv: a row ended. */
static void
on_row(int end, void *payload)
{
    struct table *table = payload;

    (void)end;
    if (table->failure.status == STATUS_OK) {
        take_row(table);
        if (table->failure.status != STATUS_OK)
            refuse_text(table);
    }
    clear_fields(table);
}

static enum status
parse(struct table *table, FILE *input, struct csv_parser *parser)
{
    char *line = NULL;
    size_t capacity = 0;
    ssize_t length;

    /* One physical line a call, so that the callbacks know where they are. */
    while (table->failure.status == STATUS_OK && (length = getline(&line, &capacity, input)) > 0) {
        table->line++;
        if (csv_parse(parser, line, (size_t)length, on_field, on_row, table) != (size_t)length) {
            failure_set(&table->failure, STATUS_FORMAT, "not CSV: %s", csv_strerror(csv_error(parser)));
            refuse_text(table);
        }
    }
    free(line);
    if (table->failure.status == STATUS_OK && csv_fini(parser, on_field, on_row, table) != 0) {
        failure_set(&table->failure, STATUS_FORMAT, "a quoted text does not end");
        refuse_text(table);
    }
    if (table->failure.status == STATUS_OK && ferror(input))
        return failure_set(&table->failure, STATUS_SYSTEM, "cannot read '%s': %s", table->path,
                           strerror(errno));
    if (table->failure.status == STATUS_OK && table->rows_length == 0)
        return failure_set(&table->failure, STATUS_FORMAT, "%s: no rows", table->path);
    return table->failure.status;
}

static enum status
read_table(struct table *table)
{
    struct csv_parser parser;
    FILE *input = fopen(table->path, "rb");
    enum status status;

    if (input == NULL)
        return failure_set(&table->failure, STATUS_SYSTEM, "cannot open '%s': %s", table->path,
                           strerror(errno));
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0) {
        fclose(input);
        return failure_set(&table->failure, STATUS_SYSTEM, "the CSV library does not start");
    }
    status = parse(table, input, &parser);
    csv_free(&parser);
    fclose(input);
    return status;
}

static void
write_text(FILE *output, const char *text)
{
    fputc('"', output);
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\')
            fputc('\\', output);
        fputc(*text, output);
    }
    fputc('"', output);
}

static void
write_field(FILE *output, const struct column *column, const char *text)
{
    switch (column->kind) {
    case COLUMN_TEXT:
    case COLUMN_WORD:
        write_text(output, text);
        break;
    case COLUMN_NUMBER:
        fputs(text[0] == '\0' ? "NAN" : text, output);
        break;
    }
}

static void
write_source(const struct table *table, FILE *output)
{
    const struct schema *schema = table->schema;

    fprintf(output, "/* Made by embed_table from %s.csv: change that file instead. */\n", schema->name);
    fprintf(output, "#include \"table_%s.h\"\n\n#include <math.h>\n\n", schema->name);
    fprintf(output, "const struct %s table_%s[] = {\n", schema->row, schema->name);
    for (size_t i = 0; i < table->rows_length; i++) {
        fputs("    {", output);
        for (size_t j = 0; j < schema->columns_length; j++) {
            if (j > 0)
                fputs(", ", output);
            write_field(output, &schema->columns[j], table->rows[i].fields[j]);
        }
        fputs("},\n", output);
    }
    fprintf(output, "};\n\nconst size_t table_%s_length = %zu;\n", schema->name, table->rows_length);
}

static void
write_header(const struct table *table, FILE *output)
{
    const struct schema *schema = table->schema;

    fprintf(output, "/* Made by embed_table from %s.csv: change that file instead. */\n", schema->name);
    fprintf(output, "#pragma once\n\n#include <stddef.h>\n\n");
    fprintf(output, "/* One row of %s.csv, fields as its headings; an empty number is NAN. */\nstruct %s {\n",
            schema->name, schema->row);
    for (size_t i = 0; i < schema->columns_length; i++) {
        const struct column *column = &schema->columns[i];

        if (column->kind == COLUMN_NUMBER)
            fprintf(output, "    double %s;\n", column->name);
        else
            fprintf(output, "    const char *%s;\n", column->name);
    }
    fprintf(output, "};\n\nextern const struct %s table_%s[];\nextern const size_t table_%s_length;\n",
            schema->row, schema->name, schema->name);
}

static enum status
write_file(struct table *table, const char *path, void (*write)(const struct table *, FILE *))
{
    FILE *output = fopen(path, "wb");
    bool failed;

    if (output == NULL)
        return failure_set(&table->failure, STATUS_SYSTEM, "cannot open '%s': %s", path, strerror(errno));
    write(table, output);
    failed = ferror(output) != 0;
    failed = fclose(output) != 0 || failed;
    return failed ? failure_set(&table->failure, STATUS_SYSTEM, "cannot write '%s'", path) : STATUS_OK;
}

static void
table_clear(struct table *table)
{
    for (size_t i = 0; i < table->rows_length; i++) {
        for (size_t j = 0; j < COLUMNS_MAX; j++)
            free(table->rows[i].fields[j]);
    }
    free(table->rows);
    clear_fields(table);
}

int
main(int argc, char **argv)
{
    struct table table = {0};
    enum status status;

    if (argc != 5) {
        fprintf(stderr, "use: embed_table NAME FILE.csv OUT.c OUT.h\n");
        return status_exit_code(STATUS_USAGE);
    }
    table.schema = schema_find(argv[1]);
    table.path = argv[2];
    if (table.schema == NULL) {
        fprintf(stderr, "embed_table: there is no table '%s'\n", argv[1]);
        return status_exit_code(STATUS_USAGE);
    }
    status = read_table(&table);
    if (status == STATUS_OK)
        status = write_file(&table, argv[3], write_source);
    if (status == STATUS_OK)
        status = write_file(&table, argv[4], write_header);
    if (status != STATUS_OK)
        fprintf(stderr, "embed_table: %s\n", table.failure.text);
    table_clear(&table);
    return status_exit_code(status);
}
