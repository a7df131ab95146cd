/* import_titrations.c - "import titrations": titrated portions from a CSV file.
 *
 * Rules
 * (1) A row is one portion, or several whose masses and volumes stand side by side; what it does not say of acid, blank,
 *     burette and balance the options say for all.
 * (2) Portions of one batch, bar and day are numbered as they come.
 * (3) One that the notebook has already, of the same batch, bar, time, masses and volumes, is skipped.
 * (4) Batches that come out doubtful or lye-heavy are held, as after "titrate". */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch_state.h"
#include "batch_store.h"
#include "commands.h"
#include "follow_store.h"
#include "gear_store.h"
#include "import.h"
#include "memory.h"
#include "session.h"
#include "titration.h"
#include "titration_model.h"

enum {
    BATCH,
    BAR,
    TAKEN_AT,
    TIME,
    SOAP_MASS_G,
    VOLUME_ML,
    ACID_MOL_PER_L,
    U_ACID_PCT,
    BLANK_ML,
    BURETTE_ML,
    BALANCE,
    METHOD,
    BY,
    NOTE
};
static const struct csv_column columns[] = {
    [BATCH] = {.name = "batch", .need = CSV_VALUE},
    [BAR] = {.name = "bar", .need = CSV_OPTIONAL},
    [TAKEN_AT] = {.name = "taken_at", .need = CSV_VALUE, .holds = CSV_TIME},
    [TIME] = {.name = "time", .need = CSV_OPTIONAL},
    [SOAP_MASS_G] = {.name = "soap_mass_g", .need = CSV_COLUMN, .holds = CSV_NUMBER, .many = true},
    [VOLUME_ML] = {.name = "volume_ml", .need = CSV_COLUMN, .holds = CSV_NUMBER, .many = true},
    [ACID_MOL_PER_L] = {.name = "acid_mol_per_l", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [U_ACID_PCT] = {.name = "u_acid_pct", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [BLANK_ML] = {.name = "blank_ml", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [BURETTE_ML] = {.name = "burette_ml", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [BALANCE] = {.name = "balance", .need = CSV_OPTIONAL},
    [METHOD] = {.name = "method", .need = CSV_OPTIONAL},
    [BY] = {.name = "by", .need = CSV_OPTIONAL},
    [NOTE] = {.name = "note", .need = CSV_OPTIONAL},
};

static const struct option_spec options_known[] = {
    IMPORT_OPTIONS,
    {.name = "acid-mol-l",
     .kind = OPTION_NUMBER,
     .value = "MOL/L",
     .low = TITRATION_ACID_LOWEST_MOL_PER_L,
     .high = TITRATION_ACID_HIGHEST_MOL_PER_L,
     .help = "concentration of the acid, of H+, where the rows do not say"},
    {.name = "blank-ml",
     .kind = OPTION_NUMBER,
     .value = "ML",
     .low = 0,
     .high = TITRATION_BLANK_HIGHEST_ML,
     .help = "likewise, of the blank"},
    {.name = "burette-ml",
     .kind = OPTION_NUMBER,
     .value = "ML",
     .low = 0.0001,
     .high = TITRATION_BURETTE_HIGHEST_ML,
     .help = "likewise, smallest division of the burette, or a drop"},
    {.name = "by", .kind = OPTION_TEXT, .value = "NAME", .help = "likewise, who titrated"},
    {.name = "balance", .kind = OPTION_TEXT, .value = "NAME", .help = "likewise, which balance"},
    {.name = NULL},
};

enum { SIDE_BY_SIDE_MOST = 16 };

struct titrations {
    struct import import;
    struct store *store;     /* lent */
    struct batch batch;      /* of the row before; owned */
    struct titration *there; /* that batch's, with what came in before; owned */
    size_t there_count, there_capacity;
};

static void
forget_batch(struct titrations *all)
{
    for (size_t i = 0; i < all->there_count; i++)
        titration_clear(&all->there[i]);
    free(all->there);
    all->there = NULL;
    all->there_count = all->there_capacity = 0;
    batch_clear(&all->batch);
}

static enum status
take_batch(struct titrations *all, const struct csv_row *row, struct failure *failure)
{
    const char *code = NULL;
    enum status status = csv_in_text(row, BATCH, &code, failure);

    if (status != STATUS_OK || (all->batch.id != 0 && text_same(all->batch.code, code)))
        return status;
    forget_batch(all);
    if (batch_store_find(all->store, code, &all->batch, failure) != STATUS_OK)
        return failure->status == STATUS_SYSTEM ? STATUS_SYSTEM : csv_row_at(row, BATCH, failure);
    status = titration_store_of_batch(all->store, all->batch.id, &all->there, &all->there_count, failure);
    all->there_capacity = all->there_count;
    return status;
}

static enum status
take_time(const struct titrations *all, const struct csv_row *row, struct titration *titration,
          struct failure *failure)
{
    char day[DAY_TEXT_SIZE];

    if (csv_in_time(row, TAKEN_AT, TIME, &titration->taken_at, failure) != STATUS_OK)
        return failure->status;
    if (titration->taken_at > context_now(all->import.context))
        failure_set(failure, STATUS_RANGE, "is in the future");
    else if (all->batch.id != 0 && clock_day_of(titration->taken_at) < all->batch.made_on)
        failure_set(failure, STATUS_RANGE, "is before batch %s was made, on %s", all->batch.code,
                    clock_day_text(all->batch.made_on, day));
    else
        return STATUS_OK;
    return csv_row_at(row, TAKEN_AT, failure);
}

/* The row's number, else the option's. */
static enum status
take_number(const struct titrations *all, const struct csv_row *row, size_t column, const char *option,
            double high, double *number, struct failure *failure)
{
    enum status status = csv_in_number(row, column, 0.0, high, number, failure);

    if (status == STATUS_OK && isnan(*number) && option != NULL)
        *number = options_number(all->import.options, option);
    return status;
}

static enum status
take_acid(const struct titrations *all, const struct csv_row *row, struct titration *titration,
          struct failure *failure)
{
    double u_pct = NAN;

    if (take_number(all, row, ACID_MOL_PER_L, "acid-mol-l", 10.0, &titration->acid_mol_per_l, failure) !=
            STATUS_OK ||
        take_number(all, row, U_ACID_PCT, NULL, 50.0, &u_pct, failure) != STATUS_OK ||
        take_number(all, row, BLANK_ML, "blank-ml", 100.0, &titration->blank_ml, failure) != STATUS_OK ||
        take_number(all, row, BURETTE_ML, "burette-ml", 10.0, &titration->burette_ml, failure) != STATUS_OK)
        return failure->status;
    titration->u_acid_relative = u_pct / 100.0;
    if (!isnan(titration->acid_mol_per_l))
        return STATUS_OK;
    failure_set(failure, STATUS_MISSING, "how strong is the acid? (a column, or --acid-mol-l 0.1)");
    return csv_row_at(row, ACID_MOL_PER_L, failure);
}

static enum status
take_texts(const struct titrations *all, const struct csv_row *row, struct titration *titration,
           struct failure *failure)
{
    const char *bar = NULL, *balance = NULL, *method = NULL, *by = NULL, *note = NULL;
    struct gear gear = {0};

    if (csv_in_text(row, BAR, &bar, failure) != STATUS_OK ||
        csv_in_text(row, BALANCE, &balance, failure) != STATUS_OK ||
        csv_in_text(row, METHOD, &method, failure) != STATUS_OK ||
        csv_in_text(row, BY, &by, failure) != STATUS_OK ||
        csv_in_text(row, NOTE, &note, failure) != STATUS_OK)
        return failure->status;
    titration->by = by_name(by == NULL ? options_text(all->import.options, "by") : by);
    titration->bar = bar_label(bar);
    titration->method = memory_copy(method);
    titration->note = memory_copy(note);
    if (balance == NULL)
        balance = options_text(all->import.options, "balance");
    if (balance == NULL)
        return STATUS_OK;
    if (gear_store_find(all->store, GEAR_BALANCE, balance, &gear, failure) != STATUS_OK)
        return csv_row_at(row, BALANCE, failure);
    titration->balance_id = gear.id;
    gear_clear(&gear);
    return STATUS_OK;
}

/* Each part of a row is looked at, so that all that is wrong with it is said at once. */
static enum status
take_common(struct titrations *all, const struct csv_row *row, struct titration *titration, bool *ret_good,
            struct failure *failure)
{
    *ret_good = true;
    for (int part = 0; part < 4; part++) {
        enum status status = part == 0   ? take_batch(all, row, failure)
                             : part == 1 ? take_time(all, row, titration, failure)
                             : part == 2 ? take_acid(all, row, titration, failure)
                                         : take_texts(all, row, titration, failure);

        if (status == STATUS_SYSTEM)
            return status;
        if (status == STATUS_OK)
            continue;
        problems_add(&all->import.problems, failure);
        *failure = (struct failure){0};
        *ret_good = false;
    }
    return STATUS_OK;
}

static bool
same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

/* Rule 3; and rule 2, the number it gets when it is not there. */
static bool
is_there(const struct titrations *all, struct titration *titration)
{
    titration->replicate = 1;
    for (size_t i = 0; i < all->there_count; i++) {
        const struct titration *other = &all->there[i];

        if (!bar_label_same(other->bar, titration->bar) ||
            clock_day_of(other->taken_at) != clock_day_of(titration->taken_at))
            continue;
        if (other->taken_at == titration->taken_at && other->soap_mass_g == titration->soap_mass_g &&
            other->volume_ml == titration->volume_ml && same_number(other->blank_ml, titration->blank_ml) &&
            other->acid_mol_per_l == titration->acid_mol_per_l)
            return true;
        if (other->replicate >= titration->replicate)
            titration->replicate = other->replicate + 1;
    }
    return false;
}

/* What is kept is remembered without texts but the bar. */
static enum status
keep(struct titrations *all, struct titration *titration, struct failure *failure)
{
    enum status status = titration_check(titration, failure);

    if (status == STATUS_OK)
        status = titration_store_add(all->store, titration, failure);
    if (status != STATUS_OK)
        return status;
    all->import.added++;
    all->there = memory_room(all->there, all->there_count, &all->there_capacity, sizeof *all->there);
    all->there[all->there_count] = *titration;
    all->there[all->there_count].bar = memory_copy(titration->bar);
    all->there[all->there_count].method = all->there[all->there_count].note =
        all->there[all->there_count].why = all->there[all->there_count].by = NULL;
    all->there_count++;
    return STATUS_OK;
}

static enum status
take_portion(struct titrations *all, const struct csv_row *row, size_t mass_column, size_t volume_column,
             struct titration *titration, bool good, struct failure *failure)
{
    if (csv_in_number(row, mass_column, 0.0, 1000.0, &titration->soap_mass_g, failure) != STATUS_OK ||
        csv_in_number(row, volume_column, 0.0, 1000.0, &titration->volume_ml, failure) != STATUS_OK)
        return failure->status;
    if (isnan(titration->soap_mass_g) && isnan(titration->volume_ml))
        return STATUS_OK; /* an empty place beside others */
    if (isnan(titration->soap_mass_g) || isnan(titration->volume_ml)) {
        failure_set(failure, STATUS_FORMAT,
                    "is empty: a portion has the mass of soap and the volume of acid");
        return csv_row_at(row, isnan(titration->soap_mass_g) ? mass_column : volume_column, failure);
    }
    if (!good)
        return STATUS_OK;
    titration->batch_id = all->batch.id;
    if (is_there(all, titration)) {
        all->import.skipped_rows++;
        return STATUS_OK;
    }
    if (keep(all, titration, failure) != STATUS_OK)
        return failure->status == STATUS_SYSTEM ? STATUS_SYSTEM : csv_row_at(row, volume_column, failure);
    batch_codes_add(&all->import.batches, all->batch.code);
    return STATUS_OK;
}

static enum status
take(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct titrations *all = payload;
    size_t masses[SIDE_BY_SIDE_MOST], volumes[SIDE_BY_SIDE_MOST];
    size_t mass_count = import_columns_of(&all->import, SOAP_MASS_G, masses, LENGTH(masses)),
           count = import_columns_of(&all->import, VOLUME_ML, volumes, LENGTH(volumes));
    struct titration titration;
    bool good = false;
    enum status status;

    titration_init(&titration);
    status = take_common(all, row, &titration, &good, failure);
    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        status =
            take_portion(all, row, masses[i < mass_count ? i : 0], volumes[i], &titration, good, failure);
    titration_clear(&titration);
    return status;
}

/* Rule 4; each batch once. */
static enum status
finish(void *payload, struct failure *failure)
{
    struct titrations *all = payload;
    struct batch_codes *codes = &all->import.batches;
    size_t count = 0;

    import_report(&all->import);
    for (size_t i = 0; i < codes->count; i++) {
        bool before = false;

        for (size_t k = 0; k < count && !before; k++)
            before = text_same(codes->codes[k], codes->codes[i]);
        if (!before) {
            char *code = codes->codes[count];

            codes->codes[count++] = codes->codes[i];
            codes->codes[i] = code;
        }
    }
    return batch_state_after_results(all->import.context, (const char *const *)codes->codes, count,
                                     (struct filed_sessions){0}, failure);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    static const struct import_kind kind = {"titrations",    "titrations",  columns,
                                            LENGTH(columns), options_known, IMPORT_NO_MORE};
    struct titrations all = {.store = context->store};
    enum status status = import_open(&all.import, context, options, &kind, failure);

    if (status == STATUS_OK)
        status = import_run(&all.import, take, finish, &all, failure);
    forget_batch(&all);
    import_close(&all.import);
    return status;
}

const struct command import_titrations_command = {
    .name = "import titrations",
    .names = "FILE",
    .fewest = 1,
    .most = 1,
    .summary = "add titrated portions from a CSV file, all of them or none",
    .example = "curetrace import titrations titrations.csv --acid-mol-l 0.1 --check",
    .options = options_known,
    .needs = COMMAND_WRITES_STORE,
    .run = run,
};
