/* say.h - sentences on the terminal, and the one way to say what to type next. */
#ifndef SAY_H
#define SAY_H

#include "command.h"
#include "sentence.h"

/* Print them: what follows a heading is indented under it, reasons are bullets, and the command of a next step stands on
 * a line of its own, each word quoted where a shell wants it and the notebook named when it was, so that it can be
 * pasted. Text is broken at the width of the screen, a command never. */
void say(const struct context *context, const struct sentences *list);

/* One batch of several cannot be told: its line with the reason, on the error stream; the command then goes on, and ends
 * as it would for that batch alone, however well the others went. */
void say_refused(struct context *context, const char *code, const struct failure *why);

#endif
