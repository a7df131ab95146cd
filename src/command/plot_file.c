/* plot_file.c - --plot FILE, --size WxH and --script. */
#include "plot_file.h"

#include <stdlib.h>
#include <string.h>

#include "plot.h"
#include "text.h"

/* Digits to a number; beyond what any plot may be the plot itself refuses it. */
static bool
read_pixels(const char *digits, size_t length, int *ret_pixels)
{
    long pixels = 0;

    if (length == 0 || length > 6 || strspn(digits, "0123456789") < length)
        return false;
    for (size_t i = 0; i < length; i++)
        pixels = 10 * pixels + (digits[i] - '0');
    *ret_pixels = (int)pixels;
    return pixels > 0;
}

static enum status
read_options(const struct options *options, struct plot_options *ret_plot, struct failure *failure)
{
    struct plot_options plot = {.keep_script = options_has(options, "script")};
    const char *size = options_text(options, "size");
    const char *x = size == NULL ? NULL : strpbrk(size, "xX");

    if (!options_has(options, "plot") && (size != NULL || plot.keep_script))
        return failure_set(failure, STATUS_USAGE, "--%s is about a plot: --plot FILE too",
                           size != NULL ? "size" : "script");
    if (size != NULL && (x == NULL || !read_pixels(size, (size_t)(x - size), &plot.width_px) ||
                         !read_pixels(x + 1, strlen(x + 1), &plot.height_px))) {
        char *visible = text_visible(size);

        failure_set(failure, STATUS_FORMAT, "--size '%.40s' is no size, expected WIDTHxHEIGHT as in 900x480",
                    visible);
        free(visible);
        return failure->status;
    }
    *ret_plot = plot;
    return STATUS_OK;
}

enum status
plot_file_check(const struct options *options, struct failure *failure)
{
    struct plot_options ignored;

    return read_options(options, &ignored, failure);
}

enum status
plot_file_write(const struct context *context, const struct options *options, const struct figure *figure,
                struct failure *failure)
{
    const char *path = options_text(options, "plot");
    struct plot_options plot = {0};
    enum status status = read_options(options, &plot, failure);

    if (status == STATUS_OK)
        status = plot_write(figure, path, &plot, failure);
    if (status != STATUS_OK)
        return status;
    fprintf(context->err, "wrote %s\n", path);
    if (plot.keep_script)
        fprintf(context->err, "wrote %s.gnuplot and %s.dat\n", path, path);
    return STATUS_OK;
}
