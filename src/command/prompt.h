/* prompt.h - questions and answers, on a terminal or through a pipe.
 *
 * Rules
 * (1) The words of answer_text.h are known everywhere; the end of the input and Ctrl-C are "quit" (interrupt.h).
 * (2) What cannot be taken is answered with one line and asked again.
 * (3) A wait counts down on a terminal; through a pipe it is taken as done, because nothing waits there.
 * (4) What is shown is made harmless (text_visible()) and broken to fit the screen, at most 98 columns. */
#ifndef PROMPT_H
#define PROMPT_H

#include <stdbool.h>
#include <stdio.h>

#include "clock.h"
#include "sentence.h"
#include "status.h"

enum { PROMPT_ANSWER_LONGEST = 2000 };

/* The caller sets all of it; nothing is owned. */
struct prompt {
    FILE *in, *out;
    bool terminal;          /* a person sits there */
    const char *line_again; /* what begins a line anew (screen.h) */
    size_t width;           /* columns of the screen; 0: 80 */
    civil_time (*now)(void *now_data);
    void *now_data;
};

/* Where the command's person sits: its input and output, clock and screen. */
struct context;
struct prompt prompt_at(const struct context *context);

enum reply { REPLY_VALUE, REPLY_NOTE, REPLY_SKIP, REPLY_BACK, REPLY_QUIT };

/* Takes a trimmed answer or refuses it; `payload` gets the value. */
typedef enum status (*prompt_parse)(const char *text, void *payload, struct failure *failure);

/* Say one thing: formatted, made harmless, wrapped, with a line end. Blanks in front indent all of it. */
void prompt_say(struct prompt *prompt, const char *format, ...)
    __attribute__((format(printf, 2, 3), nonnull(2)));

/* Say a list, a line or more each: a heading from the left edge, the rest behind `indent` blanks, a caution with its
 * mark; next steps are left to the caller, who knows the notebook. */
void prompt_say_all(struct prompt *prompt, const struct sentences *said, int indent);

/* One trimmed line that is readable and not too long; NULL at the end of the input or after Ctrl-C. Given: free() it. */
char *prompt_line(struct prompt *prompt, const char *question);

/* Ask until there is an answer (rules 1 and 2).
 *
 * help      what can be typed, for rule 1; further lines, each begun by a line end, are shown last
 * ret_text  the value as typed, trimmed, or the words behind note or skip (may be empty); given: free() it;
 *           set for REPLY_VALUE, REPLY_NOTE and REPLY_SKIP, else NULL */
enum reply prompt_ask(struct prompt *prompt, const char *question, const char *help, prompt_parse parse,
                      void *payload, char **ret_text);

/* Ask for words, such as a reason (answer_text_says_something()). `usual` is taken when nothing is typed; NULL:
 * something must be.
 *
 * ret_words  given: free() it; set for REPLY_VALUE only; REPLY_BACK and REPLY_QUIT are the other answers */
enum reply prompt_ask_words(struct prompt *prompt, const char *question, const char *usual, char **ret_words);

/* Let time pass (rule 3).
 *
 * ret_elapsed_s  what passed of it; the same as duration_s through a pipe
 * True when something was typed meanwhile, and the next answer is there to be read, or after Ctrl-C. */
bool prompt_wait(struct prompt *prompt, int duration_s, int *ret_elapsed_s);

/* Local time now. */
civil_time prompt_now(const struct prompt *prompt);

/* Say what can be typed beside answers. */
void prompt_say_words(struct prompt *prompt);

#endif
