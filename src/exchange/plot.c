/* plot.c - figures drawn by gnuplot, which is started as a program of its own. */
#include "plot.h"

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "file.h"
#include "interrupt.h"
#include "memory.h"
#include "plot_script.h"
#include "svg_tidy.h"
#include "text.h"

/* Names inside the private folder. Fixed ones: gnuplot takes a leading '|' or '<' for a command. */
static const char script_name[] = "figure.gnuplot", data_name[] = "figure.dat", messages_name[] = "messages";
static const char *const output_names[] = {"figure.svg", "figure.png", "figure.pdf", "figure.txt"};

static const char how_to_get_it[] = "gnuplot is not installed (apt-get install gnuplot-nox)";

static enum status
kind_of(const char *path, enum plot_kind *ret_kind, struct failure *failure)
{
    static const char *const endings[] = {".svg", ".png", ".pdf"};
    size_t length = strlen(path);

    for (size_t i = 0; i < LENGTH(endings); i++) {
        size_t ending = strlen(endings[i]);

        if (length > ending && text_same(path + length - ending, endings[i])) {
            *ret_kind = (enum plot_kind)i;
            return STATUS_OK;
        }
    }
    return failure_set(failure, STATUS_USAGE, "'%s' does not end in .svg, .png or .pdf", path);
}

/* -- the private folder -- */

static enum status
make_folder(char **ret_folder, struct failure *failure)
{
    const char *place = getenv("TMPDIR");
    char *folder = text_format("%s/curetrace.XXXXXX", place == NULL || place[0] == '\0' ? "/tmp" : place);

    if (mkdtemp(folder) == NULL) {
        failure_set(failure, STATUS_SYSTEM, "cannot make the folder '%s': %s", folder, strerror(errno));
        free(folder);
        return failure->status;
    }
    *ret_folder = folder;
    return STATUS_OK;
}

static void
remove_file(const char *folder, const char *name)
{
    char *path = file_join(folder, name);

    unlink(path);
    free(path);
}

static void
remove_folder(char *folder)
{
    assert(folder != NULL);
    remove_file(folder, script_name);
    remove_file(folder, data_name);
    remove_file(folder, messages_name);
    for (size_t i = 0; i < LENGTH(output_names); i++)
        remove_file(folder, output_names[i]);
    rmdir(folder);
    free(folder);
}

static enum status
write_text(const char *folder, const char *name, const struct text *text, struct failure *failure)
{
    char *path = file_join(folder, name);
    enum status status = file_write(path, text_of(text), text->length, failure);

    free(path);
    return status;
}

/* Add the bytes of a file; an image holds NUL bytes, which file_read() refuses. */
static enum status
read_bytes(const char *folder, const char *name, struct text *bytes, struct failure *failure)
{
    char *path = file_join(folder, name), piece[16384];
    FILE *input = fopen(path, "rb");
    enum status status = STATUS_OK;
    size_t got;

    if (input == NULL) {
        status = failure_set(failure, STATUS_SYSTEM, "gnuplot made no '%s': %s", name, strerror(errno));
    } else {
        while ((got = fread(piece, 1, sizeof piece, input)) > 0)
            text_add_bytes(bytes, piece, got);
        if (ferror(input))
            status = failure_set(failure, STATUS_SYSTEM, "cannot read '%s': %s", path, strerror(errno));
        fclose(input);
    }
    free(path);
    return status;
}

/* -- gnuplot -- */

/* gnuplot's own words: the last line it wrote that is not blank. */
static enum status
report_messages(const char *folder, const char *what, struct failure *failure)
{
    struct text messages = {0};
    struct failure unread = {0};
    char *copy, *line = NULL, *visible;

    read_bytes(folder, messages_name, &messages, &unread);
    copy = memory_copy(text_of(&messages));
    for (char *rest = copy, *next; (next = strsep(&rest, "\n")) != NULL;) {
        next = text_trim(next);
        line = next[0] == '\0' ? line : next;
    }
    visible = text_visible(line == NULL ? "it did not say why" : line);
    failure_set(failure, STATUS_SYSTEM, "gnuplot %s: %s", what, visible);
    free(visible);
    free(copy);
    text_clear(&messages);
    return failure->status;
}

/* Only what gnuplot and its fonts need; given, each and the list itself. */
static char **
small_environment(void)
{
    static const char *const kept[] = {"PATH", "HOME", "TMPDIR", "XDG_CACHE_HOME"};
    char **environment = memory_new(LENGTH(kept) + 2, sizeof *environment);
    size_t count = 0;

    environment[count++] = memory_copy("LC_ALL=C.UTF-8");
    for (size_t i = 0; i < LENGTH(kept); i++) {
        if (getenv(kept[i]) != NULL)
            environment[count++] = text_format("%s=%s", kept[i], getenv(kept[i]));
    }
    return environment;
}

/* Wait until the program has ended, and give its exit status; -1 unless it ended by itself. */
static int
exit_status(pid_t program)
{
    int ended = -1;

    while (waitpid(program, &ended, 0) < 0) {
        if (errno != EINTR)
            return -1;
    }
    return WIFEXITED(ended) ? WEXITSTATUS(ended) : -1;
}

static enum status
run_gnuplot(const char *folder, const sigset_t *signals, struct failure *failure)
{
    char program[] = "gnuplot", no_settings[] = "-d", script[] = "figure.gnuplot";
    char *arguments[] = {program, no_settings, script, NULL};
    char **environment = small_environment(), *messages = file_join(folder, messages_name);
    posix_spawn_file_actions_t actions;
    posix_spawnattr_t attributes;
    enum status status = STATUS_OK;
    pid_t child = 0;
    int error, ended = 0;

    assert(folder != NULL && messages != NULL);
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, messages, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    posix_spawn_file_actions_adddup2(&actions, STDOUT_FILENO, STDERR_FILENO);
    posix_spawn_file_actions_addchdir_np(&actions, folder);
    posix_spawnattr_init(&attributes);
    posix_spawnattr_setsigmask(&attributes, signals);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK);
    error = posix_spawnp(&child, program, &actions, &attributes, arguments, environment);
    if (error == 0)
        ended = exit_status(child);
    if (error == ENOENT || ended == 127) /* POSIX.1-2017, posix_spawn(): that is how it may be told, too */
        status = failure_set(failure, STATUS_MISSING, "%s", how_to_get_it);
    else if (error != 0)
        status = failure_set(failure, STATUS_SYSTEM, "cannot start gnuplot: %s", strerror(error));
    else if (ended != 0)
        status = report_messages(folder, "failed", failure);
    posix_spawnattr_destroy(&attributes);
    posix_spawn_file_actions_destroy(&actions);
    for (size_t i = 0; environment[i] != NULL; i++)
        free(environment[i]);
    free(environment);
    free(messages);
    return status;
}

/* The drawing as bytes. */
static enum status
draw(const struct figure *figure, enum plot_kind kind, int width, int height, struct text *drawing,
     struct failure *failure)
{
    const struct plot_page page = {kind, width, height, output_names[kind], data_name};
    struct text script = {0}, data = {0};
    char *folder = NULL;
    sigset_t signals;
    enum status status = plot_script(figure, &page, &script, &data, failure);

    interrupt_hold(&signals); /* the folder has data of the notebook in it */
    if (status == STATUS_OK)
        status = make_folder(&folder, failure);
    if (status != STATUS_OK)
        goto out;
    status = write_text(folder, script_name, &script, failure);
    if (status == STATUS_OK)
        status = write_text(folder, data_name, &data, failure);
    if (status == STATUS_OK)
        status = run_gnuplot(folder, &signals, failure);
    if (status == STATUS_OK)
        status = read_bytes(folder, output_names[kind], drawing, failure);
    if (status == STATUS_OK && drawing->length == 0)
        status = report_messages(folder, "drew nothing", failure);
    remove_folder(folder);
out:
    interrupt_let_go(&signals);
    text_clear(&script);
    text_clear(&data);
    return status;
}

/* -- what callers use -- */

/* FILE.gnuplot and FILE.dat, made to be run in the folder of FILE. */
static enum status
keep_script(const struct figure *figure, const char *path, enum plot_kind kind,
            const struct plot_options *options, struct failure *failure)
{
    const char *slash = strrchr(path, '/'), *name = slash == NULL ? path : slash + 1;
    char *visible = text_visible(name), *script_path = text_format("%s.gnuplot", path);
    char *data_path = text_format("%s.dat", path);
    char *output = text_format("./%s", name), *input = text_format("./%s.dat", name);
    const struct plot_page page = {kind, options->width_px, options->height_px, output, input};
    struct text script = {0}, data = {0};
    enum status status;

    if (strcmp(visible, name) != 0)
        status = failure_set(failure, STATUS_FORMAT,
                             "a script cannot be kept beside '%s': its name has control characters", visible);
    else
        status = plot_script(figure, &page, &script, &data, failure);
    if (status == STATUS_OK)
        status = file_write(script_path, text_of(&script), script.length, failure);
    if (status == STATUS_OK)
        status = file_write(data_path, text_of(&data), data.length, failure);
    text_clear(&script);
    text_clear(&data);
    free(input);
    free(output);
    free(data_path);
    free(script_path);
    free(visible);
    return status;
}

enum status
plot_write(const struct figure *figure, const char *path, const struct plot_options *options,
           struct failure *failure)
{
    static const struct plot_options usual = {0};
    struct text drawing = {0};
    enum plot_kind kind = PLOT_SVG;
    enum status status = kind_of(path, &kind, failure);
    char *tidy;

    if (status != STATUS_OK)
        return status;
    if (options == NULL)
        options = &usual;
    status = draw(figure, kind, options->width_px, options->height_px, &drawing, failure);
    if (status == STATUS_MISSING) {
        if (keep_script(figure, path, kind, options, failure) == STATUS_OK)
            status =
                failure_set(failure, STATUS_MISSING, "%s; its script and data are '%s.gnuplot' and '%s.dat'",
                            how_to_get_it, path, path);
        else
            status = failure_at(failure, "%s; ", how_to_get_it);
    }
    if (status == STATUS_OK && options->keep_script)
        status = keep_script(figure, path, kind, options, failure);
    if (status == STATUS_OK && kind == PLOT_SVG) {
        tidy = svg_tidy(drawing.data, figure->title, NULL);
        status = file_write(path, tidy, strlen(tidy), failure);
        free(tidy);
    } else if (status == STATUS_OK) {
        status = file_write(path, drawing.data, drawing.length, failure);
    }
    text_clear(&drawing);
    return status;
}

/* Lines without blanks at their ends, no blank ones at the end, no form feed. */
static void
write_trimmed(const char *text, FILE *out)
{
    size_t blank_lines = 0;

    while (*text != '\0') {
        size_t length, kept;

        text += strspn(text, "\f"); /* gnuplot begins with one, "nofeed" or not */
        kept = length = strcspn(text, "\n");
        while (kept > 0 && text[kept - 1] == ' ')
            kept--;
        blank_lines++;
        if (kept > 0) {
            for (; blank_lines > 1; blank_lines--)
                fputc('\n', out);
            fprintf(out, "%.*s\n", (int)kept, text);
            blank_lines = 0;
        }
        text += length + (text[length] == '\n' ? 1 : 0);
    }
}

enum status
plot_text(const struct figure *figure, int columns, int rows, FILE *out, struct failure *failure)
{
    struct text drawing = {0};
    enum status status = draw(figure, PLOT_TEXT, columns, rows, &drawing, failure);

    if (status == STATUS_OK)
        write_trimmed(drawing.data, out);
    text_clear(&drawing);
    return status;
}

enum status
plot_svg(const struct figure *figure, const struct plot_options *options, const char *id_prefix,
         char **ret_svg, struct failure *failure)
{
    struct text drawing = {0};
    enum status status = draw(figure, PLOT_SVG, options == NULL ? 0 : options->width_px,
                              options == NULL ? 0 : options->height_px, &drawing, failure);

    if (status == STATUS_OK)
        *ret_svg = svg_tidy(drawing.data, figure->title, id_prefix);
    text_clear(&drawing);
    return status;
}
