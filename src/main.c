/* main.c - finds out about the world, runs the command, prints the failure, picks the exit status. */
#include <errno.h>
#include <locale.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <gsl/gsl_errno.h>

#include "clock.h"
#include "command.h"
#include "file.h"
#include "interrupt.h"
#include "memory.h"
#include "text.h"

static civil_time
now(void *data)
{
    (void)data;
    return clock_now();
}

static size_t
screen_width(void)
{
    struct winsize size;
    const char *columns = getenv("COLUMNS");
    long told = columns == NULL ? 0 : strtol(columns, NULL, 10);

    if (told >= 20 && told <= 1000)
        return (size_t)told;
    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col >= 20)
        return size.ws_col;
    return 80;
}

/* $CURETRACE_NOTEBOOK, else the personal data folder; given: free() it. */
static char *
usual_notebook(void)
{
    const char *told = getenv("CURETRACE_NOTEBOOK");

    if (told != NULL && *told != '\0')
        return memory_copy(told);
    return file_personal("XDG_DATA_HOME", ".local/share", "notebook.sqlite");
}

/* What was printed must have arrived: a full disk behind "> file" is a failure too. */
static enum status
finish_output(enum status status, const struct context *context, struct failure *failure)
{
    bool flushed = fflush(stdout) == 0;

    if (status == STATUS_OK && (!flushed || context->output_error != 0))
        return failure_set(
            failure, STATUS_SYSTEM, "%scannot write the output: %s",
            context->kept ? "what was to be kept is in the notebook, but cannot be shown here: " : "",
            strerror(context->output_error != 0 ? context->output_error : errno));
    return status;
}

int
main(int argc, char **argv)
{
    char *notebook = usual_notebook();
    char *procedures = file_shipped("procedures"), *samples = file_shipped("samples");
    const char *no_colour = getenv("NO_COLOR");
    struct context context = {.in = stdin,
                              .out = stdout,
                              .err = stderr,
                              .notebook = notebook,
                              .procedures = procedures,
                              .samples = samples,
                              .clock = now};
    struct failure failure = {0};
    enum status status;

    setlocale(LC_CTYPE, ""); /* widths of characters; LC_NUMERIC stays "C" */
    gsl_set_error_handler_off();
    signal(SIGPIPE, SIG_DFL); /* "| head": the reader has seen enough, whatever our caller had set */
    context.terminal_in = isatty(STDIN_FILENO) == 1;
    context.terminal_out = isatty(STDOUT_FILENO) == 1;
    context.progress = isatty(STDERR_FILENO) == 1 ? stderr : NULL;
    context.colour = context.terminal_out && (no_colour == NULL || *no_colour == '\0');
    context.width = screen_width();

    status = command_main(&context, argc, argv, &failure);
    status = finish_output(status, &context, &failure);
    if (status != STATUS_OK) {
        char *visible = text_visible(failure.text);

        fprintf(stderr, "curetrace: %s\n", visible);
        free(visible);
    }
    free(notebook);
    free(procedures);
    free(samples);
    interrupt_pass_on();
    return status == STATUS_OK ? context.exit_code : status_exit_code(status);
}
