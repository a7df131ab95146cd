/* prompt.c - questions and answers, on a terminal or through a pipe. */
#include "prompt.h"

#include <poll.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "answer_text.h"
#include "command.h"
#include "interrupt.h"
#include "listing.h"
#include "memory.h"
#include "text.h"

enum { USUAL_WIDTH = 80, LEAST_WIDTH = 24, MOST_WIDTH = 100, MARGIN = 2 };

struct prompt
prompt_at(const struct context *context)
{
    return (struct prompt){.in = context->in,
                           .out = context->out,
                           .terminal = context->terminal_in && context->terminal_out,
                           .line_again = context->screen == NULL ? "" : screen_line_again(context->screen),
                           .width = context->width,
                           .now = context->clock,
                           .now_data = context->clock_data};
}

civil_time
prompt_now(const struct prompt *prompt)
{
    return prompt->now(prompt->now_data);
}

/* Columns to write into: long lines are hard to read. */
static size_t
columns_of(const struct prompt *prompt)
{
    size_t width = prompt->width == 0 ? USUAL_WIDTH : prompt->width;

    width = width < LEAST_WIDTH ? LEAST_WIDTH : (width > MOST_WIDTH ? MOST_WIDTH : width);
    return width - MARGIN;
}

/* As far in as the text begins. */
static void
say_wrapped(struct prompt *prompt, const char *text)
{
    size_t indent = strspn(text, " "), columns = columns_of(prompt);

    if (indent > columns / 2)
        indent = columns / 2;
    fprintf(prompt->out, "%*s", (int)indent, "");
    listing_words(prompt->out, columns - indent, indent, text);
}

void
prompt_say(struct prompt *prompt, const char *format, ...)
{
    struct text text = {0};
    va_list arguments;

    va_start(arguments, format);
    text_addv(&text, format, arguments);
    va_end(arguments);
    say_wrapped(prompt, text_of(&text));
    fputc('\n', prompt->out);
    text_clear(&text);
}

static void
show_question(struct prompt *prompt, const char *question)
{
    say_wrapped(prompt, question);
    fputc(' ', prompt->out);
    fflush(prompt->out);
}

/* The next line without its end; NULL at the end of the input or after Ctrl-C. Given. */
static char *
read_line(struct prompt *prompt)
{
    char *line = NULL;
    size_t size = 0;
    ssize_t length;

    interrupt_await(prompt->in);
    interrupt_listen(true);
    length = interrupt_came() ? -1 : getline(&line, &size, prompt->in);
    interrupt_listen(false);
    if (length > 0 && line[length - 1] != '\n' && interrupt_came())
        length = -1; /* broken off in the middle: no answer */
    if (length < 0) {
        free(line);
        fputc('\n', prompt->out); /* nobody pressed Enter */
        return NULL;
    }
    if (length > 0 && line[length - 1] == '\n')
        line[--length] = '\0';
    if (length > 0 && line[length - 1] == '\r')
        line[--length] = '\0';
    if (memchr(line, '\0', (size_t)length) != NULL)
        memset(line, '\xff', (size_t)length); /* refused below as broken text */
    if (!prompt->terminal)
        fputc('\n', prompt->out); /* a pipe echoes nothing */
    return line;
}

char *
prompt_line(struct prompt *prompt, const char *question)
{
    for (;;) {
        char *line, *answer;

        if (interrupt_came())
            return NULL;
        show_question(prompt, question);
        line = read_line(prompt);
        if (line == NULL)
            return NULL;
        answer = memory_copy(text_trim(line));
        free(line);
        if (text_is_utf8(answer) && strlen(answer) <= PROMPT_ANSWER_LONGEST)
            return answer;
        prompt_say(prompt, "  %s, please type it again",
                   text_is_utf8(answer) ? "that is longer than 2000 bytes" : "that is no readable text");
        free(answer);
    }
}

void
prompt_say_words(struct prompt *prompt)
{
    prompt_say(prompt, "  Or: note WORDS (keeps a note), skip REASON (leaves this out), back (the answer "
                       "before, to correct it), quit (goes on another time).");
}

void
prompt_say_all(struct prompt *prompt, const struct sentences *said, int indent)
{
    for (size_t i = 0; i < said->count; i++) {
        const struct sentence *sentence = &said->items[i];

        if (sentence->kind != SENTENCE_NEXT)
            prompt_say(prompt, "%*s%s%s", sentence->kind == SENTENCE_HEADING ? 0 : indent, "",
                       sentence->kind == SENTENCE_CAUTION ? "! " : "", sentence->text);
    }
}

enum reply
prompt_ask(struct prompt *prompt, const char *question, const char *help, prompt_parse parse, void *payload,
           char **ret_text)
{
    *ret_text = NULL;
    for (;;) {
        char *answer = prompt_line(prompt, question);
        const char *rest;
        struct failure failure = {0};
        enum answer_word word;

        if (answer == NULL)
            return REPLY_QUIT;
        word = answer_text_word(answer, &rest);
        if (word == ANSWER_WORD_NOTE || word == ANSWER_WORD_SKIP) {
            *ret_text = memory_copy(rest);
            free(answer);
            return word == ANSWER_WORD_NOTE ? REPLY_NOTE : REPLY_SKIP;
        }
        if (word == ANSWER_WORD_BACK || word == ANSWER_WORD_QUIT) {
            free(answer);
            return word == ANSWER_WORD_BACK ? REPLY_BACK : REPLY_QUIT;
        }
        if (word == ANSWER_WORD_HELP) {
            prompt_say(prompt, "  %s", help);
            prompt_say_words(prompt);
        } else if (parse(answer, payload, &failure) == STATUS_OK) {
            *ret_text = answer;
            return REPLY_VALUE;
        } else {
            prompt_say(prompt, "  %s", failure.text);
        }
        free(answer);
    }
}

enum reply
prompt_ask_words(struct prompt *prompt, const char *question, const char *usual, char **ret_words)
{
    for (;;) {
        char *answer = prompt_line(prompt, question);

        if (answer == NULL || text_same(answer, "quit") || text_same(answer, "back")) {
            enum reply reply = answer == NULL || text_same(answer, "quit") ? REPLY_QUIT : REPLY_BACK;

            free(answer);
            return reply;
        }
        if (answer_text_says_something(answer)) {
            *ret_words = answer;
            return REPLY_VALUE;
        }
        if (*answer == '\0' && usual != NULL) {
            free(answer);
            *ret_words = memory_copy(usual);
            return REPLY_VALUE;
        }
        if (answer_text_is_value(answer))
            prompt_say(prompt, "  '%.20s' is a value: words are needed here, or back to the question",
                       answer);
        else
            prompt_say(prompt, "  a few words are needed here; back returns to the question, quit stops");
        free(answer);
    }
}

static int64_t
milliseconds(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

bool
prompt_wait(struct prompt *prompt, int duration_s, int *ret_elapsed_s)
{
    struct pollfd input = {.fd = fileno(prompt->in), .events = POLLIN};
    int64_t begin = milliseconds(), end = begin + (int64_t)duration_s * 1000, now = begin;
    bool typed = false; /* or to be left */

    *ret_elapsed_s = duration_s;
    if (!prompt->terminal)
        return false;
    for (; !typed && now < end; now = milliseconds()) {
        int64_t left_s = (end - now + 999) / 1000, tick = (end - now - 1) % 1000 + 1;

        fprintf(prompt->out, "%s  %d:%02d left, Enter goes on ", prompt->line_again, (int)(left_s / 60),
                (int)(left_s % 60));
        fflush(prompt->out);
        interrupt_listen(true);
        typed = !interrupt_came() && poll(&input, 1, (int)tick) > 0;
        interrupt_listen(false);
        if (interrupt_came()) {
            fputc('\n', prompt->out);
            typed = true;
        }
    }
    if (!typed)
        fprintf(prompt->out, "%s  0:00 left                \n", prompt->line_again);
    else
        *ret_elapsed_s = (int)((milliseconds() - begin) / 1000);
    return typed;
}
