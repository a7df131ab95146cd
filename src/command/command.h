/* command.h - what a command is, and the surroundings it runs in.
 *
 * A new command is one file here, its name in commands.h, table.c and meson.build, one test, a line in
 * tests/support/every_command.c and one page in docs/. */
#ifndef COMMAND_H
#define COMMAND_H

#include <stdbool.h>
#include <stdio.h>

#include "clock.h"
#include "csv_manner.h"
#include "options.h"
#include "screen.h"
#include "status.h"
#include "store.h"

/* Where a command runs. main.c makes one from the real world, tests make their own. */
struct context {
    FILE *in, *out, *err; /* lent; while a command runs, out and err are screens (screen.h) */
    FILE *progress;       /* how far a long work is, for the moment; lent; NULL: nobody looks */
    bool terminal_in, terminal_out;
    bool colour;                 /* a terminal, and NO_COLOR is not set */
    size_t width;                /* columns of the screen; 80 when unknown */
    const char *notebook;        /* path; lent */
    bool notebook_named;         /* by --notebook: a command to type next names it too */
    const char *procedures;      /* folder of the procedures that came with the program; lent; may be NULL */
    const char *samples;         /* folder of the demo's workshop; lent; may be NULL */
    civil_time (*clock)(void *); /* now */
    void *clock_data;
    struct csv_manner csv; /* of every table as CSV: CSV_OPTIONS; set by command_main() */
    struct screen *screen; /* set by command_main() */
    struct store *store;   /* open while a command runs that needs it */
    int output_error;      /* errno of what could not be written to out; 0: nothing */
    bool kept;             /* the command that ended well wrote to the notebook */
    int exit_code;         /* 0; a command that did its work may set another (verdict --strict) */
};

civil_time context_now(const struct context *context);
civil_day context_today(const struct context *context);

/* The moment given by an option, else now; one in the future is refused with STATUS_RANGE. */
enum status context_moment(const struct context *context, const struct options *options, const char *name,
                           civil_time *ret_moment, struct failure *failure);

/* A transaction whose words are kept back until it is on disk: what the screen says has survived. Between
 * the two, context->out is a text in memory; context_commit() commits on STATUS_OK, then says it, or undoes
 * and says nothing. It gives `status`, or what went wrong in committing. */
struct held_words {
    FILE *out;
    char *text;
    size_t size;
};
enum status context_begin(struct context *context, struct held_words *held, struct failure *failure);
enum status context_commit(struct context *context, struct held_words *held, enum status status,
                           struct failure *failure);

/* " --notebook FILE" as a command to type next needs it, "" for the usual notebook. Given: free() it. */
char *context_notebook_typed(const struct context *context);

/* "curetrace test 'oat bar' --notebook FILE" and the end of the line: each word quoted where a shell wants it, and the
 * notebook when it was named. Never broken into lines, so that it can be pasted. */
void context_command(const struct context *context, const char *const *words, size_t count);

/* "next: " and the command of these words, up to NULL. */
void context_next(const struct context *context, const char *command, ...) __attribute__((sentinel));

/* What to write for a tone (screen.h); "" when colour is off. */
const char *context_tone(const struct context *context, enum tone tone);

/* Open the context's notebook and say on the error stream what a person should know of it: that it is new, was brought up to
 * date, or is not as this program makes it. ret_store is given: store_close() it. */
enum status context_open_notebook(const struct context *context, enum store_mode mode,
                                  struct store **ret_store, struct failure *failure);

enum command_needs {
    COMMAND_NOTHING,
    COMMAND_READS_STORE,
    COMMAND_CHANGES_STORE, /* one that is there: a mistyped name makes no new one */
    COMMAND_WRITES_STORE   /* and makes it when it is not there */
};

struct command {
    const char *name;    /* "batch add" */
    const char *names;   /* what follows it, as --help shows it: "CODE [CODE ...]"; "" for nothing */
    int fewest, most;    /* how many names; most -1: any number */
    const char *summary; /* one line, small first letter, no full stop */
    const char *example; /* one line that works; NULL: none */
    const struct option_spec *options; /* ends with a NULL name */
    enum command_needs needs;
    const char *needs_nothing_with; /* an option with which no notebook is opened; NULL: none */
    /* True when this command line changes nothing, so that it may show a notebook that cannot be written;
     * NULL: `needs` holds always. */
    bool (*only_reads)(const struct options *options);
    enum status (*run)(struct context *context, const struct options *options, struct failure *failure);
};

/* For the options of every command that writes CSV. Without a NULL name. */
#define CSV_OPTIONS                                                                                          \
    {.name = "separator",                                                                                    \
     .kind = OPTION_TEXT,                                                                                    \
     .value = "CHARACTER",                                                                                   \
     .help = "CSV: comma, semicolon or tab between the fields; semicolon with a decimal comma"},             \
    {                                                                                                        \
        .name = "decimal", .kind = OPTION_TEXT, .value = "SIGN", .help = "CSV: point (the default) or comma" \
    }

/* All commands, in the order in which they are listed; ends with NULL. */
extern const struct command *const command_table[];

/* The options that every command takes; ends with a NULL name. */
extern const struct option_spec command_common_options[];

/* Do what a command line says (argv[0] is the program): find the command, open the notebook, run it. A
 * failure is printed by the caller; *context->exit_code may be set on STATUS_OK. */
enum status command_main(struct context *context, int argc, char **argv, struct failure *failure);

#endif
