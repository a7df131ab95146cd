/* every_command.h - command lines that together use every command, on a notebook that has something to show to
 * each.
 *
 * Rules
 * (1) every_command_missing() names a command of the table that has no line here, so that a new one cannot be
 *     forgotten by the tests that go by this list.
 * (2) Names of batches and gear in the lines may be given an ending of their own, for notebooks whose names are not
 *     harmless. @ at the beginning of a word is the kitchen's folder. */
#ifndef EVERY_COMMAND_H
#define EVERY_COMMAND_H

#include "kitchen.h"

struct every_line {
    const char *line;  /* begins with the command's name */
    const char *input; /* what is typed at its questions; NULL: nothing */
    bool writes;       /* it changes the notebook */
};

extern const struct every_line every_lines[];
size_t every_line_count(void);

/* The command that a line uses. */
const struct command *every_command_of(const struct every_line *line);

/* The name of a command in the table without a line here, or, with `writes`, of one that may write without a line
 * that writes; NULL when there is none. */
const char *every_command_missing(bool writes);

/* The notebook: batches P-01, W-07 and L-01, gear of every kind, readings, titrations, states, corrections, a dropped
 * date, a test that was left in its midst; and the files that the lines import. */
void every_command_furnish(struct kitchen *kitchen);

/* Run one of the lines, every name of the notebook with `ending` behind it ("" for none). */
enum status every_command_run(struct kitchen *kitchen, const struct every_line *line, const char *ending);

/* A word of a line as it is run; given: free() it. */
char *every_command_word(const struct kitchen *kitchen, const char *word, const char *ending);

#endif
