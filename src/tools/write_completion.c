/* write_completion.c - build tool: completion for bash, from the table of commands and a script.
 *
 * Use: write_completion completion.bash > curetrace.bash
 * A line of the table is NAME|OPTIONS|OPTIONS WITH A FILE|OPTIONS WITH ANOTHER VALUE|"codes" or "gear" when batch
 * codes or gear are its names. The script, copied behind it, says what is done with that. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "batch.h"
#include "buffer.h"
#include "command.h"
#include "file.h"
#include "gear.h"
#include "saponification.h"
#include "text.h"

enum { SCRIPT_LARGEST = 65536 };

enum listed { ALL_OPTIONS, FILE_OPTIONS, VALUE_OPTIONS };

static void
write_options(const struct option_spec *spec, enum listed listed)
{
    for (; spec->name != NULL; spec++) {
        bool file = spec->kind == OPTION_FILE, value = spec->kind != OPTION_FLAG && !file;

        if (listed == ALL_OPTIONS || (listed == FILE_OPTIONS && file) || (listed == VALUE_OPTIONS && value))
            printf("--%s ", spec->name);
    }
}

static void
write_command(const struct command *command)
{
    const char *names = "";

    if (strncmp(command->names, "NAME", 4) == 0 || strstr(command->names, "METER") != NULL)
        names = "gear";
    else if (strstr(command->names, "CODE") != NULL)
        names = "codes";
    if (strcmp(command->name, "batch add") == 0 || strcmp(command->name, "gear add") == 0)
        names = ""; /* a new one */
    fputs(command->name, stdout);
    for (int listed = ALL_OPTIONS; listed <= VALUE_OPTIONS; listed++) {
        putchar('|');
        write_options(command->options, (enum listed)listed);
        write_options(command_common_options, (enum listed)listed);
    }
    printf("|%s\n", names);
}

/* A word of an array, in the quotes that bash wants. */
static void
write_word(const char *word)
{
    char *typed = text_as_typed(word);

    printf("%s ", typed);
    free(typed);
}

static void
write_tables(void)
{
    fputs("_curetrace_kinds=(", stdout);
    for (int kind = GEAR_METER; kind <= GEAR_BUFFER; kind++)
        write_word(gear_kind_word((enum gear_kind)kind));
    fputs(")\n_curetrace_roles=(", stdout);
    for (int role = BATCH_ORDINARY; role <= BATCH_LYE_HEAVY; role++)
        write_word(batch_role_word((enum batch_role)role));
    fputs(")\n_curetrace_buffers=(", stdout);
    for (size_t i = 0; i < buffer_count(); i++)
        write_word(buffer_at(i)->name);
    fputs(")\n_curetrace_fats=(", stdout);
    for (size_t i = 0; fat_name(i) != NULL; i++)
        write_word(fat_name(i));
    fputs(")\n_curetrace_table='", stdout);
    for (size_t i = 0; command_table[i] != NULL; i++)
        write_command(command_table[i]);
    fputs("'\n\n", stdout);
}

int
main(int argc, char **argv)
{
    struct failure failure = {0};
    char *script = NULL;

    if (argc != 2 || file_read(argv[1], SCRIPT_LARGEST, &script, &failure) != STATUS_OK) {
        fprintf(stderr, "write_completion: %s\n", argc == 2 ? failure.text : "expected the script");
        return 1;
    }
    write_tables();
    fputs(script, stdout);
    free(script);
    return fflush(stdout) == 0 ? 0 : 1;
}
