/* titrate.c - "titrate": free alkali by titration in neutralised ethanol, typed or walked through. */
#include <math.h>
#include <stdlib.h>

#include "batch_state.h"
#include "batches_named.h"
#include "commands.h"
#include "follow_store.h"
#include "free_alkali.h"
#include "gear_store.h"
#include "memory.h"
#include "test.h"
#include "text.h"
#include "titration_model.h"
#include "titration_view.h"
#include "units.h"
#include "weighed_acid.h"

static const struct option_spec titrate_options[] = {
    {.name = "soap-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .many = true,
     .help = "the portion of soap; once for each portion that was titrated"},
    {.name = "volume-ml",
     .kind = OPTION_VOLUME,
     .value = "ML",
     .low = 0,
     .high = TITRATION_VOLUME_HIGHEST_ML,
     .many = true,
     .help = "acid until the pink was gone, blank not taken off; once for each portion"},
    {.name = "acid-mol-l",
     .kind = OPTION_CONCENTRATION,
     .value = "MOL/L",
     .low = TITRATION_ACID_LOWEST_MOL_PER_L,
     .high = TITRATION_ACID_HIGHEST_MOL_PER_L,
     .help = "concentration of the acid, of H+ (as in 0.1 N): 0.05 mol/L sulfuric acid counts as 0.1"},
    {.name = "acid-u-pct",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = 0.001,
     .high = 100.0 * TITRATION_U_ACID_HIGHEST,
     .help = "standard uncertainty of that concentration, in percent of it; 1 when not said"},
    {.name = "blank-ml",
     .kind = OPTION_VOLUME,
     .value = "ML",
     .low = 0,
     .high = TITRATION_BLANK_HIGHEST_ML,
     .help = "acid that the ethanol alone took"},
    {.name = "burette-ml",
     .kind = OPTION_VOLUME,
     .value = "ML",
     .low = 0.0001,
     .high = TITRATION_BURETTE_HIGHEST_ML,
     .help = "smallest division of the burette or pipette, or the size of a drop; 0.1 when not said"},
    {.name = "acid-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0,
     .high = TITRATION_VOLUME_HIGHEST_ML,
     .many = true,
     .help = "the acid weighed instead of measured: once for each portion, in place of --volume-ml"},
    {.name = "acid-mol-kg",
     .kind = OPTION_CONCENTRATION,
     .value = "MOL/KG",
     .low = TITRATION_ACID_LOWEST_MOL_PER_L,
     .high = TITRATION_ACID_HIGHEST_MOL_PER_L,
     .help = "with --acid-g: its strength in mol of H+ per kg; in place of --acid-mol-l"},
    {.name = "blank-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0,
     .high = TITRATION_BLANK_HIGHEST_ML,
     .help = "with --acid-g: acid that the ethanol alone took"},
    {.name = "drop-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0.0001,
     .high = TITRATION_BURETTE_HIGHEST_ML,
     .help = "with --acid-g: what one drop weighs; 0.05 when not said"},
    {.name = "citric-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0,
     .high = CITRIC_HIGHEST_G,
     .help = "the acid was made of so much citric acid; in place of --acid-mol-l"},
    {.name = "citric-water-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0,
     .high = CITRIC_WATER_HIGHEST_G,
     .help = "and of so much water"},
    {.name = "citric-form",
     .kind = OPTION_TEXT,
     .value = "WORDS",
     .help = "anhydrous, monohydrate or \"not known\"; the last when not said"},
    {.name = "citric-purity",
     .kind = OPTION_TEXT,
     .value = "PERCENT",
     .help = "what its label says, as in 99.5%; 100% when not said, 99.5 to 100.5 in any case"},
    {.name = "balance",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "which balance; the only one of the notebook when not said"},
    {.name = "bar", .kind = OPTION_TEXT, .value = "TEXT", .help = "which bar of the batch it was cut from"},
    {.name = "method", .kind = OPTION_TEXT, .value = "TEXT", .help = "how, in the maker's words"},
    {.name = "at",
     .kind = OPTION_TIME,
     .value = "TIME",
     .help = "when, as in 2026-03-04T10:00; now when not said"},
    {.name = "by", .kind = OPTION_TEXT, .value = "NAME", .help = "who titrated"},
    {.name = "note", .kind = OPTION_TEXT, .value = "TEXT", .help = "whatever should be remembered"},
    {.name = "supersedes",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .low = 1,
     .high = 1e15,
     .help = "this corrects titration NUMBER, which stays on record; needs --why"},
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "why it is corrected"},
    {.name = "portions",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .low = 1,
     .high = 10,
     .help = "walk-through: portions of each bar; 2 when not said"},
    {.name = "by-weight",
     .kind = OPTION_FLAG,
     .help = "walk-through: with citric acid made and weighed on a kitchen balance"},
    {.name = "show", .kind = OPTION_FLAG, .help = "only show what the titrations so far say"},
    CSV_OPTIONS,
    {.name = "csv",
     .kind = OPTION_FLAG,
     .help = "only batch,free_naoh_pct,low_pct,high_pct,band,flags for each batch named"},
    {.name = NULL},
};

/* What is measured and what is weighed do not mix. */
static enum status
check_unmixed(const struct options *options, bool weighed, struct failure *failure)
{
    static const char *const of_volume[] = {"volume-ml", "blank-ml", "burette-ml"};
    static const char *const of_mass[] = {"acid-g", "blank-g", "drop-g", "acid-mol-kg"};
    const char *const *others = weighed ? of_volume : of_mass;

    for (size_t i = 0; i < (weighed ? LENGTH(of_volume) : LENGTH(of_mass)); i++)
        if (options_has(options, others[i]))
            return failure_set(failure, STATUS_USAGE, "--%s does not go with --%s", others[i],
                               weighed ? "acid-g" : "volume-ml");
    return STATUS_OK;
}

static enum status
check_strength(const struct options *options, bool weighed, struct failure *failure)
{
    int told = options_has(options, "acid-mol-l") + options_has(options, "acid-mol-kg") +
               options_has(options, "citric-g");

    if (told == 0)
        return failure_set(failure, STATUS_USAGE, "how strong is the acid? (--acid-mol-l 0.1%s)",
                           weighed ? ", --acid-mol-kg 0.1, or --citric-g with --citric-water-g" : "");
    if (told > 1)
        return failure_set(failure, STATUS_USAGE,
                           "the acid's strength once: --acid-mol-l, --acid-mol-kg or --citric-g");
    if (options_has(options, "citric-g") != options_has(options, "citric-water-g"))
        return failure_set(failure, STATUS_USAGE, "--citric-g and --citric-water-g come together");
    if (!options_has(options, "citric-g") &&
        (options_has(options, "citric-form") || options_has(options, "citric-purity")))
        return failure_set(failure, STATUS_USAGE, "--citric-form and --citric-purity go with --citric-g");
    if (options_has(options, "citric-g") && options_has(options, "acid-u-pct"))
        return failure_set(failure, STATUS_USAGE, "--acid-u-pct is worked out for citric acid");
    return STATUS_OK;
}

static enum status
check_typed(const struct options *options, struct failure *failure)
{
    bool weighed = options_has(options, "acid-g");
    size_t portions = options_count(options, "soap-g"),
           acids = options_count(options, weighed ? "acid-g" : "volume-ml");
    enum status status = check_unmixed(options, weighed, failure);

    if (status != STATUS_OK)
        return status;
    if (options_name_count(options) != 1)
        return failure_set(failure, STATUS_USAGE, "titrations are filed for one batch at a time");
    if (portions == 0 || portions != acids)
        return failure_set(failure, STATUS_USAGE,
                           "each portion needs its --soap-g and its --%s: %zu and %zu are given",
                           weighed ? "acid-g" : "volume-ml", portions, acids);
    if (options_has(options, "supersedes") &&
        (portions != 1 || options_text(options, "why") == NULL || *options_text(options, "why") == '\0'))
        return failure_set(failure, STATUS_USAGE,
                           "a correction is of one titration and says why (--why \"...\")");
    return check_strength(options, weighed, failure);
}

/* The balance named, else the only one there is, else none. */
static enum status
find_balance(const struct context *context, const struct options *options, int64_t *ret_id,
             struct failure *failure)
{
    struct gear balance = {0};
    struct failure none = {0};
    const char *name = options_text(options, "balance");
    enum status status = STATUS_OK;

    if (name != NULL)
        status = gear_store_find(context->store, GEAR_BALANCE, name, &balance, failure);
    else if (gear_store_only(context->store, GEAR_BALANCE, &balance, &none) != STATUS_OK)
        return STATUS_OK;
    if (status == STATUS_OK)
        *ret_id = balance.id;
    gear_clear(&balance);
    return status;
}

/* 0.1 g for one that is not said, as free_alkali.h takes it. */
static enum status
balance_readability(struct store *store, int64_t balance_id, double *ret_readability_g,
                    struct failure *failure)
{
    struct gear *gear = NULL;
    size_t count = 0;
    enum status status = gear_store_list(store, &gear, &count, failure);

    *ret_readability_g = FREE_ALKALI_BALANCE_ASSUMED_G;
    for (size_t i = 0; i < count; i++) {
        if (gear[i].id == balance_id)
            *ret_readability_g = gear[i].readability_g;
        gear_clear(&gear[i]);
    }
    free(gear);
    return status;
}

/* The titration that is corrected must be this batch's and stand. */
static enum status
check_superseded(struct store *store, int64_t batch_id, int64_t id, int *ret_replicate,
                 struct failure *failure)
{
    struct titration *titrations = NULL;
    size_t count = 0;
    enum status status = titration_store_of_batch(store, batch_id, &titrations, &count, failure);
    const struct titration *old = NULL;

    if (status != STATUS_OK)
        return status;
    for (size_t i = 0; i < count; i++)
        if (titrations[i].id == id)
            old = &titrations[i];
    if (old == NULL)
        status = failure_set(failure, STATUS_MISSING, "this batch has no titration %lld", (long long)id);
    else if (old->superseded_by != 0)
        status = failure_set(failure, STATUS_CONFLICT,
                             "titration %lld was corrected already; correct titration %lld", (long long)id,
                             (long long)old->superseded_by);
    else
        *ret_replicate = old->replicate;
    for (size_t i = 0; i < count; i++)
        titration_clear(&titrations[i]);
    free(titrations);
    return status;
}

static enum status
file_portions(struct context *context, const struct options *options, struct titration *titration,
              struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < options_count(options, "soap-g"); i++) {
        titration->soap_mass_g = options_number_at(options, "soap-g", i);
        titration->volume_ml =
            options_number_at(options, titration->acid_weighed ? "acid-g" : "volume-ml", i);
        status = titration_check(titration, failure);
        if (status != STATUS_OK)
            return failure_at(failure, "portion %zu: ", i + 1);
        status = titration_store_add(context->store, titration, failure);
        titration->replicate++;
    }
    return status;
}

/* By CODE/BAR or by --bar, once. */
static enum status
name_bar(const struct options *options, struct titration *titration, struct failure *failure)
{
    const char *bar = options_text(options, "bar");

    if (bar == NULL || *bar == '\0')
        return STATUS_OK;
    if (titration->bar != NULL)
        return failure_set(failure, STATUS_USAGE, "name the bar once: as CODE/BAR or by --bar");
    titration->bar = bar_label(bar);
    return STATUS_OK;
}

/* Rules of weighed_acid.h; what it was made of is kept in the note. */
static enum status
make_acid(const struct context *context, const struct options *options, struct titration *titration,
          struct failure *failure)
{
    struct weighed_acid acid = {.form = CITRIC_NOT_KNOWN,
                                .citric_mass_g = options_number(options, "citric-g"),
                                .water_mass_g = options_number(options, "citric-water-g"),
                                .purity_fraction = (double)NAN};
    double mol_per_kg = NAN, mol_per_l = NAN;
    const char *note = options_text(options, "note");
    enum status status = STATUS_OK;

    if (options_has(options, "citric-form"))
        status = citric_form_parse(options_text(options, "citric-form"), &acid.form, failure);
    if (status == STATUS_OK && options_has(options, "citric-purity"))
        status = units_parse_fraction(options_text(options, "citric-purity"), &acid.purity_fraction, failure);
    if (status == STATUS_OK)
        status = balance_readability(context->store, titration->balance_id, &acid.readability_g, failure);
    if (status == STATUS_OK)
        status = weighed_acid_strength(&acid, &mol_per_kg, &titration->u_acid_relative, &mol_per_l, failure);
    if (status != STATUS_OK)
        return status;
    titration->acid_mol_per_l = titration->acid_weighed ? mol_per_kg : mol_per_l;
    free(titration->note);
    titration->note = text_format("%s%sacid of %g g citric acid (%s) in %g g of water",
                                  note == NULL ? "" : note, note == NULL ? "" : "; ", acid.citric_mass_g,
                                  citric_form_words[acid.form], acid.water_mass_g);
    fprintf(context->out, "the acid has %.4g mol of H+ per %s, +/- %.2g %% (95 %%)\n",
            titration->acid_mol_per_l, titration->acid_weighed ? "kg" : "litre",
            196.0 * titration->u_acid_relative);
    return STATUS_OK;
}

static enum status
file_typed(struct context *context, const struct options *options, char **ret_code, struct failure *failure)
{
    struct batch batch = {0};
    struct titration titration;
    enum status status;

    titration_init(&titration);
    titration.acid_weighed = options_has(options, "acid-g");
    titration.acid_mol_per_l =
        options_number(options, options_has(options, "acid-mol-kg") ? "acid-mol-kg" : "acid-mol-l");
    titration.u_acid_relative = options_number(options, "acid-u-pct") / 100.0;
    titration.blank_ml = options_number(options, titration.acid_weighed ? "blank-g" : "blank-ml");
    titration.burette_ml = options_number(options, titration.acid_weighed ? "drop-g" : "burette-ml");
    titration.method = memory_copy(options_text(options, "method"));
    titration.by = by_name(options_text(options, "by"));
    titration.note = memory_copy(options_text(options, "note"));
    titration.why = memory_copy(options_text(options, "why"));
    titration.supersedes = (int64_t)options_number_or(options, "supersedes", 0.0);
    status = context_moment(context, options, "at", &titration.taken_at, failure);
    if (status == STATUS_OK)
        status = batch_named(context->store, options_name(options, 0), &batch, &titration.bar, failure);
    if (status == STATUS_OK)
        status = name_bar(options, &titration, failure);
    titration.batch_id = batch.id;
    *ret_code = memory_copy(batch.code);
    batch_clear(&batch);
    if (status == STATUS_OK)
        status = find_balance(context, options, &titration.balance_id, failure);
    if (status == STATUS_OK && options_has(options, "citric-g"))
        status = make_acid(context, options, &titration, failure);
    if (status == STATUS_OK && titration.supersedes != 0)
        status = check_superseded(context->store, titration.batch_id, titration.supersedes,
                                  &titration.replicate, failure);
    if (status == STATUS_OK)
        status = file_portions(context, options, &titration, failure);
    titration_clear(&titration);
    return status;
}

/* One that is corrected may no longer clear what was read before it. */
static struct filed_sessions
changed_by(const struct options *options)
{
    return options_has(options, "supersedes") ? (struct filed_sessions){1, INT64_MAX}
                                              : (struct filed_sessions){0};
}

/* All portions, and the hold they may bring, go in together or not at all. */
static enum status
run_typed(struct context *context, const struct options *options, struct failure *failure)
{
    char *code = NULL;
    struct held_words held;
    enum status status = check_typed(options, failure);

    if (status == STATUS_OK)
        status = context_begin(context, &held, failure);
    if (status != STATUS_OK)
        return status;
    status = file_typed(context, options, &code, failure);
    if (status == STATUS_OK)
        status =
            batch_state_after_results(context, (const char *const *)&code, 1, changed_by(options), failure);
    status = context_commit(context, &held, status, failure);
    if (status == STATUS_OK)
        status = titration_view_print(context, code, failure);
    free(code);
    return status;
}

static enum status
run_show(const struct context *context, const struct options *options, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < options_name_count(options); i++)
        status = titration_view_print(context, options_name(options, i), failure);
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    static const char *const values[] = {"soap-g", "volume-ml",   "acid-mol-l", "blank-ml",
                                         "acid-g", "acid-mol-kg", "blank-g",    "citric-g"};
    bool typed = false;

    for (size_t i = 0; i < LENGTH(values); i++)
        typed = typed || options_has(options, values[i]);

    if (typed && (options_has(options, "csv") || options_has(options, "show")))
        return failure_set(failure, STATUS_USAGE, "--show and --csv show what is on record and file nothing");
    if (options_has(options, "csv"))
        return titration_view_csv(context, options, failure);
    if (options_has(options, "show"))
        return run_show(context, options, failure);
    if (typed)
        return run_typed(context, options, failure);
    return test_walk_procedure(context, options,
                               options_has(options, "by-weight") ? "free-alkali-by-weight"
                                                                 : "free-alkali-titration",
                               (size_t)options_number_or(options, "portions", 2.0), failure);
}

const struct command titrate_command = {
    .name = "titrate",
    .names = "CODE[/BAR] ...",
    .fewest = 1,
    .most = -1,
    .summary = "free alkali by titration: the test that can clear a bar",
    .example = "curetrace titrate W-07 --acid-mol-l 0.1 --blank-ml 0.05 --soap-g 10.02 --volume-ml 1.20 "
               "--soap-g 9.98 --volume-ml 1.25",
    .options = titrate_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run,
};
