/* expect.c - "expect": what a solution should read, and why. */
#include <stdlib.h>

#include "buffer.h"
#include "commands.h"
#include "csv_out.h"
#include "listing.h"
#include "memory.h"
#include "mixture.h"
#include "substance.h"
#include "text.h"

static const struct option_spec expect_options[] = {
    {.name = "temperature-c",
     .kind = OPTION_TEMPERATURE,
     .value = "DEGC",
     .help = "of the solution; 25 when not said"},
    {.name = "known", .kind = OPTION_FLAG, .help = "list the buffers and the substances by name"},
    CSV_OPTIONS,
    {.name = "csv",
     .kind = OPTION_FLAG,
     .help = "a table under solution,temperature_c,ph,u_ph,ionic_strength,source,flags"},
    {.name = NULL},
};

static void
print_csv(struct csv_out *csv, const char *solution, double temperature_c,
          const struct expectation *expectation)
{
    csv_out_text(csv, solution);
    csv_out_number(csv, temperature_c);
    csv_out_number(csv, expectation->ph);
    csv_out_number(csv, expectation->u_ph);
    csv_out_number(csv, expectation->ionic_strength_mol_per_kg);
    csv_out_text(csv, expectation->source);
    csv_out_text(csv, expectation->flags);
    csv_out_end_row(csv);
}

static void
print_text(const struct context *context, const char *solution, double temperature_c,
           const struct expectation *expectation)
{
    char *line = text_format("%s at %g degC: pH %.2f, standard uncertainty %.2g", solution, temperature_c,
                             expectation->ph, expectation->u_ph);

    listing_paragraph(context->out, context->width, 0, line);
    free(line);
    fputs("from: ", context->out);
    listing_paragraph(context->out, context->width - 6, 6, expectation->source);
    if (expectation->flags[0] != '\0')
        fprintf(context->out, "flags: %s\n", expectation->flags);
    if (expectation->note[0] != '\0')
        listing_paragraph(context->out, context->width, 0, expectation->note);
    if (expectation->caution != NULL) {
        fprintf(context->out, "%scaution%s: ", context_tone(context, TONE_DOUBT),
                context_tone(context, TONE_PLAIN));
        listing_paragraph(context->out, context->width - 9, 4, expectation->caution);
    }
}

static void
print_known(const struct context *context)
{
    fputs("Buffers\n", context->out);
    for (size_t i = 0; i < buffer_count(); i++) {
        const struct buffer *buffer = buffer_at(i);

        fprintf(context->out, "  %-18s ", buffer->name);
        listing_paragraph(context->out, context->width - 21, 21, buffer->title);
    }
    fputs("Water\n  water, boiled water, water in air, water in air 600 ppm\n"
          "Substances, with an amount in % or mol/kg, joined by +\n",
          context->out);
    for (size_t i = 0; i < substance_count(); i++) {
        const struct substance *substance = substance_at(i);
        struct text names = {0};

        for (size_t j = 0; j < SUBSTANCE_NAMES_MAX && substance->names[j] != NULL; j++)
            text_addf(&names, "%s%s", j == 0 ? "" : ", ", substance->names[j]);
        fputs("  ", context->out);
        listing_paragraph(context->out, context->width - 2, 4, text_of(&names));
        text_clear(&names);
    }
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    static const char *const headings[] = {"solution",       "temperature_c", "ph",   "u_ph",
                                           "ionic_strength", "source",        "flags"};
    double temperature_c = options_number_or(options, "temperature-c", 25.0);
    bool as_csv = options_has(options, "csv");
    struct csv_out csv;
    struct expectation *expectations;
    enum status status = STATUS_OK;

    if (options_has(options, "known")) {
        print_known(context);
        return STATUS_OK;
    }
    if (options_name_count(options) == 0)
        return failure_set(
            failure, STATUS_USAGE,
            "which solution? name one or more, as in 'citric acid 3 %%'; --known lists the names");
    /* All are computed before the first is printed: a refused one leaves no half table. */
    expectations = memory_new(options_name_count(options), sizeof *expectations);

    for (size_t i = 0; status == STATUS_OK && i < options_name_count(options); i++)
        status = expectation_of(options_name(options, i), temperature_c, &expectations[i], failure);
    if (status == STATUS_OK && as_csv) {
        csv_out_start(&csv, context->out, context->csv);
        csv_out_heading(&csv, headings, LENGTH(headings));
    }
    for (size_t i = 0; status == STATUS_OK && i < options_name_count(options); i++) {
        if (as_csv)
            print_csv(&csv, options_name(options, i), temperature_c, &expectations[i]);
        else
            print_text(context, options_name(options, i), temperature_c, &expectations[i]);
    }
    free(expectations);
    return status == STATUS_OK && as_csv ? csv_out_finish(&csv, NULL, failure) : status;
}

const struct command expect_command = {
    .name = "expect",
    .names = "SOLUTION [SOLUTION ...]",
    .fewest = 0,
    .most = -1,
    .summary = "tell what a solution should read: water, a buffer, lye, an acid, or a mixture",
    .example = "curetrace expect \"citric acid 3 %\" \"water in air\" --temperature-c 25",
    .options = expect_options,
    .needs = COMMAND_NOTHING,
    .run = run,
};
