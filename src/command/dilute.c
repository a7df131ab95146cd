/* dilute.c - "dilute": soap and water for a test solution, and whether the balance is good enough for it. */
#include <math.h>

#include "commands.h"
#include "csv_out.h"
#include "dilution.h"
#include "gear_store.h"
#include "memory.h"
#include "session.h"

static const struct option_spec dilute_options[] = {
    {.name = "soap-g", .kind = OPTION_MASS, .value = "GRAMS", .help = "the portion of soap on the balance"},
    {.name = "percent",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .help = "wanted, by mass; 1 when not said"},
    {.name = "water-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .help = "the water in the cup: tells the percent it makes instead"},
    {.name = "balance",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "which balance; the only one of the notebook when not said"},
    {.name = "readability-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .help = "the balance's last digit, when it is in no notebook"},
    {.name = "tolerance-pct",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = 1e-6,
     .high = 50,
     .help = "what the balance should hold; 0.02 when not said"},
    CSV_OPTIONS,
    {.name = "csv", .kind = OPTION_FLAG, .help = "one line under soap_g,percent,water_g,total_g,u_percent"},
    {.name = NULL},
};

/* The readability told, or of the balance named, or of the only one there is; NAN without any. A notebook
 * is not needed. */
static enum status
find_readability(const struct context *context, const struct options *options, double *ret_readability_g,
                 struct failure *failure)
{
    struct gear balance = {0};
    struct store *store = NULL;
    struct failure none = {0};
    const char *name = options_text(options, "balance");
    enum status status = STATUS_OK;

    *ret_readability_g = options_number(options, "readability-g");
    if (!isnan(*ret_readability_g))
        return STATUS_OK;
    if (name == NULL) {
        if (context->notebook == NULL ||
            context_open_notebook(context, STORE_READ, &store, &none) != STATUS_OK)
            return STATUS_OK;
        status = gear_store_only(store, GEAR_BALANCE, &balance, failure);
        if (status == STATUS_MISSING) {
            store_close(store);
            return STATUS_OK;
        }
    } else {
        if (context->notebook == NULL)
            return failure_set(failure, STATUS_MISSING, "there is no notebook with a balance '%s'", name);
        status = context_open_notebook(context, STORE_READ, &store, failure);
        if (status == STATUS_OK)
            status = gear_store_find(store, GEAR_BALANCE, name, &balance, failure);
    }
    if (status == STATUS_OK)
        *ret_readability_g = balance.readability_g;
    gear_clear(&balance);
    store_close(store);
    return status;
}

static enum status
print_csv(const struct context *context, const struct dilution *dilution, struct failure *failure)
{
    static const char *const headings[] = {"soap_g", "percent", "water_g", "total_g", "u_percent"};
    struct csv_out csv;

    csv_out_start(&csv, context->out, context->csv);
    csv_out_heading(&csv, headings, LENGTH(headings));
    csv_out_number(&csv, dilution->soap_g);
    csv_out_number(&csv, dilution->percent);
    csv_out_number(&csv, dilution->water_g);
    csv_out_number(&csv, dilution->total_g);
    csv_out_number(&csv, dilution->u_percent);
    csv_out_end_row(&csv);
    return csv_out_finish(&csv, NULL, failure);
}

static enum status
print_balance(const struct context *context, const struct dilution *dilution, double readability_g,
              double tolerance_pct, struct failure *failure)
{
    double smallest_g = NAN;
    enum status status =
        dilution_smallest_portion(dilution->percent, tolerance_pct, readability_g, &smallest_g, failure);

    if (status != STATUS_OK)
        return status;
    fprintf(context->out, "the balance (last digit %g g) leaves %.2g %% of doubt (standard uncertainty)\n",
            readability_g, dilution->u_percent);
    if (2.0 * dilution->u_percent <= tolerance_pct)
        fprintf(context->out, "%sgood enough%s to hold %.2f +/- %g %%\n", context_tone(context, TONE_GOOD),
                context_tone(context, TONE_PLAIN), dilution->percent, tolerance_pct);
    else
        fprintf(
            context->out,
            "%snot good enough%s to hold %.2f +/- %g %%: take at least %.3g g of soap and %.4g g of water\n",
            context_tone(context, TONE_BAD), context_tone(context, TONE_PLAIN), dilution->percent,
            tolerance_pct, smallest_g, smallest_g * (100.0 / dilution->percent - 1.0));
    return STATUS_OK;
}

static enum status
compute(const struct options *options, double readability_g, struct dilution *dilution,
        struct failure *failure)
{
    double soap_g = options_number(options, "soap-g"), water_g = options_number(options, "water-g");

    if (isnan(soap_g))
        return failure_set(failure, STATUS_USAGE, "--soap-g is missing, as in --soap-g 1.03");
    if (!isnan(water_g) && options_has(options, "percent"))
        return failure_set(failure, STATUS_USAGE, "give --percent or --water-g, not both");
    if (!isnan(water_g))
        return dilution_from_masses(soap_g, water_g, readability_g, dilution, failure);
    return dilution_for_percent(soap_g, options_number_or(options, "percent", REFERENCE_CONCENTRATION_PCT),
                                readability_g, dilution, failure);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    double readability_g = NAN;
    double tolerance_pct = options_number_or(options, "tolerance-pct", CONCENTRATION_TOLERANCE_PCT);
    struct dilution dilution = {0};
    enum status status = find_readability(context, options, &readability_g, failure);

    if (status == STATUS_OK)
        status = compute(options, readability_g, &dilution, failure);
    if (status != STATUS_OK)
        return status;
    if (options_has(options, "csv"))
        return print_csv(context, &dilution, failure);
    fprintf(context->out, "%.3f g of soap in %.2f g of water: %.3f %% by mass, %.2f g in all\n",
            dilution.soap_g, dilution.water_g, dilution.percent, dilution.total_g);
    if (isnan(readability_g)) {
        fputs("no balance is stated, so how exact this is stays unknown (--readability-g 0.01)\n",
              context->out);
        return STATUS_OK;
    }
    return print_balance(context, &dilution, readability_g, tolerance_pct, failure);
}

const struct command dilute_command = {
    .name = "dilute",
    .names = "--soap-g GRAMS",
    .summary = "tell the water for a 1 % solution, and whether the balance is good enough",
    .example = "curetrace dilute --soap-g 1.03",
    .options = dilute_options,
    .needs = COMMAND_NOTHING,
    .run = run,
};
