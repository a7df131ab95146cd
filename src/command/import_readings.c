/* import_readings.c - "import readings": readings from a CSV file, by the headings of "trend --csv" or by a maker's own.
 *
 * Rules
 * (1) A row has a batch, a time and one value or several side by side: a pH (in one column or more), ph_low and ph_high,
 *     a strip as "9-10". Which gear is said by name, or clear because there is only one. Empty cells are no readings.
 * (2) A batch the notebook does not have is added when the row says when it was made, with the title, role, reference and
 *     recipe of that row. What a later row says of them must be the same, but for the title.
 * (3) A row marked as superseded is left out: its correction is a row of its own.
 * (4) What "trend --csv" works out (age_d, ph_at_reference, u_ph, flags) is read over, but for the flag that it was read
 *     off only about.
 * (5) A batch that a test in the file makes doubtful or lye-heavy is held at once, in the same transaction
 *     (batch_state.h).
 * (6) What clears no bar for lack of a concentration or a temperature, or because the concentration is
 *     beyond what can be brought to 1 %, is filed and counted.
 * (7) Rows of one batch with the same session label, read by the same person, share a session; without a label those of one day do, because they may
 *     well be one solution. Within it those of the same bar, portion and concentration share a test portion. pH columns
 *     side by side are replicates of one portion, unless --side-by-side says portions. More than a day after the first
 *     row of its portion a row is refused: no cup is read so long.
 * (8) A reading without a replicate number gets the next one of its session, batch, bar and gear, counted in the file, so
 *     that the same file gives the same numbers again.
 * (9) A reading that the notebook has already, or that came before in the file, is not added again
 *     (reading_store_same()). */
#include <math.h>
#include <search.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "at_reference.h"
#include "batch_state.h"
#include "batch_store.h"
#include "commands.h"
#include "gear_store.h"
#include "import.h"
#include "memory.h"
#include "observation_store.h"
#include "row.h"
#include "session_store.h"
#include "spelled_time.h"
#include "words.h"

enum {
    BATCH,
    TITLE,
    ROLE,
    MADE_ON,
    REFERENCE,
    SESSION,
    BAR,
    PORTION,
    BY,
    TAKEN_AT,
    TIME,
    AGE_D,
    METHOD,
    GEAR,
    METER,
    PAPER,
    REPLICATE,
    PH,
    PH_LOW,
    PH_HIGH,
    STRIP,
    TEMPERATURE_C,
    CONCENTRATION_PCT,
    SOAP_MASS_G,
    WATER_MASS_G,
    PH_AT_REFERENCE,
    U_PH,
    SUPERSEDED,
    FLAGS,
    NOTE
};
static const struct csv_column columns[] = {
    [BATCH] = {.name = "batch", .need = CSV_VALUE},
    [TITLE] = {.name = "title", .need = CSV_OPTIONAL},
    [ROLE] = {.name = "role", .need = CSV_OPTIONAL},
    [MADE_ON] = {.name = "made_on", .need = CSV_OPTIONAL, .holds = CSV_TIME},
    [REFERENCE] = {.name = "reference", .need = CSV_OPTIONAL},
    [SESSION] = {.name = "session", .need = CSV_OPTIONAL},
    [BAR] = {.name = "bar", .need = CSV_OPTIONAL},
    [PORTION] = {.name = "portion", .need = CSV_OPTIONAL},
    [BY] = {.name = "by", .need = CSV_OPTIONAL},
    [TAKEN_AT] = {.name = "taken_at", .need = CSV_VALUE, .holds = CSV_TIME},
    [TIME] = {.name = "time", .need = CSV_OPTIONAL},
    [AGE_D] = {.name = "age_d", .need = CSV_OPTIONAL},
    [METHOD] = {.name = "method", .need = CSV_OPTIONAL},
    [GEAR] = {.name = "gear", .need = CSV_OPTIONAL},
    [METER] = {.name = "meter", .need = CSV_OPTIONAL},
    [PAPER] = {.name = "paper", .need = CSV_OPTIONAL},
    [REPLICATE] = {.name = "replicate", .need = CSV_OPTIONAL},
    [PH] = {.name = "ph", .need = CSV_OPTIONAL, .holds = CSV_NUMBER, .many = true},
    [PH_LOW] = {.name = "ph_low", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [PH_HIGH] = {.name = "ph_high", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [STRIP] = {.name = "strip", .need = CSV_OPTIONAL, .many = true},
    [TEMPERATURE_C] = {.name = "temperature_c", .need = CSV_OPTIONAL, .holds = CSV_NUMBER, .many = true},
    [CONCENTRATION_PCT] = {.name = "concentration_pct",
                           .need = CSV_OPTIONAL,
                           .holds = CSV_NUMBER,
                           .many = true},
    [SOAP_MASS_G] = {.name = "soap_mass_g", .need = CSV_OPTIONAL, .holds = CSV_NUMBER, .many = true},
    [WATER_MASS_G] = {.name = "water_mass_g", .need = CSV_OPTIONAL, .holds = CSV_NUMBER, .many = true},
    [PH_AT_REFERENCE] = {.name = "ph_at_reference", .need = CSV_OPTIONAL},
    [U_PH] = {.name = "u_ph", .need = CSV_OPTIONAL},
    [SUPERSEDED] = {.name = "superseded", .need = CSV_OPTIONAL},
    [FLAGS] = {.name = "flags", .need = CSV_OPTIONAL},
    [NOTE] = {.name = "note", .need = CSV_OPTIONAL},
};

static const struct option_spec options_known[] = {
    IMPORT_OPTIONS,
    {.name = "percent",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = STATED_LOWEST_PCT,
     .high = STATED_HIGHEST_PCT,
     .help = "soap in the solution, by mass, of the rows that say no concentration"},
    {.name = "water",
     .kind = OPTION_TEXT,
     .value = "WORD",
     .help = "which water all of them were made in: distilled, deionised or other"},
    {.name = "meter",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "with which meter, where the rows do not say"},
    {.name = "paper",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "with which paper, where the rows do not say"},
    {.name = "doubtful",
     .kind = OPTION_FLAG,
     .help = "take ~10.1 as a reading of about 10.1, which can warn and clears nothing"},
    {.name = "by", .kind = OPTION_TEXT, .value = "NAME", .help = "who read, where the rows do not say"},
    {.name = "side-by-side",
     .kind = OPTION_TEXT,
     .value = "WORD",
     .help = "pH columns side by side are replicates of one portion (the default), or portions"},
    {.name = NULL},
};

/* What rows share: rule 7's session and portion, and the numbers that rule 8 has given out. */
enum share { SHARED_SESSION, SHARED_PORTION, SHARED_REPLICATE };
struct sharing {
    enum share what;
    int side;      /* pH columns that are portions, from 0 */
    civil_day day; /* of rows without a label */
    int64_t batch_id, gear_id;
    double percent, soap_mass_g, water_mass_g;
    char *texts; /* the session's label, who read, the bar and the portion, each with a line break behind */
    int64_t number;
    civil_time first_at; /* of the first row */
};

struct readings {
    struct import import;
    struct store *store; /* lent */
    struct gear *gear;   /* owned, all of the notebook's */
    size_t gear_count;
    struct batch batch; /* of the row before, with its recipe; owned */
    void *shared;       /* a tree (tsearch) of what is shared; owned */
    civil_time now;
    const char *water, *meter, *paper; /* of all rows; NULL: not told, lent */
    bool portions;                     /* rule 7: --side-by-side portions */
    bool doubtful;                     /* what is marked as an estimate is taken */
    double percent;                    /* of rows that say none; NAN: not told */
    int64_t first_session;             /* the import made; 0: none */
    size_t superseded, batches, titles,
        empty; /* rows left out, batches added, titles that differ, rows without a value */
    size_t no_concentration, no_temperature, too_far; /* of those added: rule 6 */
};

enum { SIDE_BY_SIDE_MOST = 16 };

/* One value of a row. */
struct told_value {
    struct reading reading;  /* owned; without a portion yet, and replicate 0 when not said */
    size_t column, side;     /* which column of the file; which of those side by side */
    const struct gear *gear; /* lent */
    double percent, soap_mass_g, water_mass_g;
};

/* What one row says. */
struct told {
    struct told_value values[2 * SIDE_BY_SIDE_MOST];
    size_t count;
    civil_time taken_at;
    const char *session, *portion, *by, *note; /* lent; NULL: not said */
    char *bar;                                 /* owned; NULL: not said */
    int64_t replicate;                         /* 0: not said */
    bool unreadable;                           /* a part of it, which is a problem of the file by now */
};

static void
told_clear(struct told *told)
{
    for (size_t i = 0; i < told->count; i++)
        reading_clear(&told->values[i].reading);
    free(told->bar);
}

static struct told_value *
add_value(struct told *told, enum reading_method method, size_t column, size_t side)
{
    struct told_value *value = &told->values[told->count++];

    *value = (struct told_value){
        .column = column, .side = side, .percent = NAN, .soap_mass_g = NAN, .water_mass_g = NAN};
    reading_init(&value->reading);
    value->reading.method = method;
    return value;
}

static int
compare_sharing(const void *a, const void *b)
{
    const struct sharing *x = a, *y = b;
    const double differences[] = {(double)x->what - (double)y->what, (double)(x->batch_id - y->batch_id),
                                  (double)x->day - (double)y->day,   (double)(x->gear_id - y->gear_id),
                                  (double)x->side - (double)y->side, x->percent - y->percent,
                                  x->soap_mass_g - y->soap_mass_g,   x->water_mass_g - y->water_mass_g};

    for (size_t i = 0; i < LENGTH(differences); i++)
        if (differences[i] != 0.0)
            return differences[i] < 0.0 ? -1 : 1;
    return strcmp(x->texts, y->texts);
}

static double
known_or_zero(double number)
{
    return isnan(number) ? 0.0 : number;
}

static struct sharing
sharing_key(const struct readings *readings, const struct told *told, const struct told_value *value,
            enum share what)
{
    bool portion = what == SHARED_PORTION;

    return (struct sharing){
        .what = what,
        .first_at = told->taken_at,
        .side = portion && readings->portions ? (int)value->side : 0,
        .day = told->session == NULL ? clock_day_of(told->taken_at) : 0,
        .batch_id = readings->batch.id,
        .gear_id = what == SHARED_REPLICATE ? value->gear->id : 0,
        .percent = portion ? known_or_zero(value->percent) : 0.0,
        .soap_mass_g = portion ? known_or_zero(value->soap_mass_g) : 0.0,
        .water_mass_g = portion ? known_or_zero(value->water_mass_g) : 0.0,
        .texts = text_format("%s\n%s\n%s\n%s\n", told->session == NULL ? "" : told->session,
                             told->by == NULL ? "" : told->by,
                             what == SHARED_SESSION || told->bar == NULL ? "" : told->bar,
                             portion && told->portion != NULL ? told->portion : ""),
    };
}

/* What the values like this one share; a new one has the number 0. */
static struct sharing *
shared_with(struct readings *readings, const struct told *told, const struct told_value *value,
            enum share what)
{
    struct sharing key = sharing_key(readings, told, value, what), *kept;
    void *found;

    for (char *letter = key.texts; *letter != '\0'; letter++)
        *letter = text_lower(*letter);
    found = tfind(&key, &readings->shared, compare_sharing);
    if (found != NULL) {
        free(key.texts);
        return *(struct sharing **)found;
    }
    kept = memory_new(1, sizeof *kept);
    *kept = key;
    if (tsearch(kept, &readings->shared, compare_sharing) == NULL)
        abort();
    return kept;
}

static void
free_sharing(void *shared)
{
    free(((struct sharing *)shared)->texts);
    free(shared);
}

/* --- what a row says --------------------------------------------------------------------------------- */

static const struct gear *
find_gear(const struct readings *readings, enum gear_kind kind, const char *name)
{
    const struct gear *found = NULL;

    for (size_t i = 0; i < readings->gear_count; i++) {
        const struct gear *gear = &readings->gear[i];

        if (gear->kind != kind || (name != NULL && !text_same(gear->name, name)))
            continue;
        if (found != NULL)
            return NULL; /* without a name there must be only one */
        found = gear;
    }
    return found;
}

/* Which meter or paper: by its own column, by that for either, by the option, or because there is only one. */
static enum status
take_gear(const struct readings *readings, const struct csv_row *row, bool meter,
          const struct gear **ret_gear, struct failure *failure)
{
    size_t column = meter ? METER : PAPER;
    const char *name = NULL, *word = meter ? "meter" : "paper";

    if (csv_in_text(row, column, &name, failure) != STATUS_OK)
        return failure->status;
    if (name == NULL) {
        column = GEAR;
        if (csv_in_text(row, GEAR, &name, failure) != STATUS_OK)
            return failure->status;
    }
    if (name == NULL)
        name = meter ? readings->meter : readings->paper;
    *ret_gear = find_gear(readings, meter ? GEAR_METER : GEAR_PAPER, name);
    if (*ret_gear != NULL)
        return STATUS_OK;
    if (name == NULL)
        failure_set(failure, STATUS_MISSING,
                    "says nothing, and the notebook has no %s or more than one (--%s)", word, word);
    else
        failure_set(failure, STATUS_MISSING, "there is no %s '%.60s' (gear add, or import gear)", word, name);
    return csv_row_at(row, column, failure);
}

/* "9-10" as the steps of the paper; a spreadsheet may have made a date of it. */
static enum status
read_strip(const struct csv_row *row, struct told_value *value, struct failure *failure)
{
    struct reading *reading = &value->reading;
    struct spelled_time date;
    const char *text = NULL;
    char *with_year;

    if (csv_in_text(row, value->column, &text, failure) != STATUS_OK)
        return failure->status;
    if (answer_text_range(text, value->gear, &reading->ph_low, &reading->ph_high, &reading->temperature_c,
                          failure) == STATUS_OK)
        return STATUS_OK;
    with_year = text_format("%s 2000", text); /* a spreadsheet may show 10-Sep */
    if (spelled_time_read(text, true, &date) || spelled_time_read(with_year, true, &date))
        failure_set(failure, STATUS_FORMAT,
                    "'%.40s' is a date: a spreadsheet makes one of 9-10; give the column the format Text and "
                    "type the "
                    "steps again",
                    text);
    free(with_year);
    return csv_row_at(row, value->column, failure);
}

static enum status
check_steps(const struct csv_row *row, const struct told_value *value, struct failure *failure)
{
    if (gear_check_step(value->gear, value->reading.ph_low, failure) != STATUS_OK)
        return csv_row_at(row, PH_LOW, failure);
    if (gear_check_step(value->gear, value->reading.ph_high, failure) != STATUS_OK)
        return csv_row_at(row, PH_HIGH, failure);
    return STATUS_OK;
}

/* The pH columns. */
static enum status
take_meter(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    size_t places[SIDE_BY_SIDE_MOST],
        count = import_columns_of(&readings->import, PH, places, LENGTH(places));
    const char *flags = NULL;
    struct told_value *value;
    double ph = NAN;
    bool about = false, was_about;

    if (csv_in_text(row, FLAGS, &flags, failure) != STATUS_OK)
        return failure->status;
    was_about = flags != NULL && strstr(flags, "approximate") != NULL; /* rule 4: but for this */
    for (size_t i = 0; i < count; i++) {
        if (csv_in_about(row, places[i], UNITS_PH, PH_LOWEST, PH_HIGHEST, &ph, &about, failure) != STATUS_OK)
            return failure->status;
        if (about && !readings->doubtful) {
            failure_set(
                failure, STATUS_FORMAT,
                "'%.40s' is read off only about (--doubtful takes it: it can warn, and clears nothing)",
                row->fields[places[i]]);
            return csv_row_at(row, places[i], failure);
        }
        if (isnan(ph))
            continue;
        value = add_value(told, READING_METER, places[i], i);
        value->reading.ph = ph;
        value->reading.approximate = about || was_about;
    }
    return STATUS_OK;
}

/* ph_low and ph_high, and strips. */
static enum status
take_paper(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    size_t places[SIDE_BY_SIDE_MOST],
        count = import_columns_of(&readings->import, STRIP, places, LENGTH(places));
    double low = NAN, high = NAN;
    struct told_value *value;

    if (csv_in_quantity(row, PH_LOW, UNITS_PH, PH_LOWEST, PH_HIGHEST, &low, failure) != STATUS_OK ||
        csv_in_quantity(row, PH_HIGH, UNITS_PH, PH_LOWEST, PH_HIGHEST, &high, failure) != STATUS_OK)
        return failure->status;
    if (!isnan(low) || !isnan(high)) {
        value = add_value(told, READING_PAPER, PH_LOW, 0);
        value->reading.ph_low = low;
        value->reading.ph_high = high;
    }
    for (size_t i = 0; i < count; i++) {
        const char *strip = NULL;

        if (csv_in_text(row, places[i], &strip, failure) != STATUS_OK)
            return failure->status;
        if (strip != NULL)
            add_value(told, READING_PAPER, places[i], i);
    }
    return STATUS_OK;
}

/* A file with one value a row says "meter" or "paper" and has either. */
static enum status
check_method(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    const char *word = NULL;
    enum reading_method method = READING_METER;
    /* one that could not be read was said already */
    bool wide = row->fields[STRIP] != NULL || readings->import.column_count > LENGTH(columns), fits;

    if (csv_in_text(row, METHOD, &word, failure) != STATUS_OK)
        return failure->status;
    if (word != NULL && reading_method_parse(word, &method, failure) != STATUS_OK)
        return csv_row_at(row, METHOD, failure);
    if (wide || told->unreadable)
        return STATUS_OK;
    fits = told->count == 1 && (word == NULL || method == told->values[0].reading.method);
    if (fits)
        return STATUS_OK;
    failure_set(failure, STATUS_FORMAT,
                told->count > 0 ? "a meter reading has ph, a paper reading ph_low and ph_high"
                                : "is empty, and there is no ph_low and ph_high");
    told->count = 0; /* said once is enough; they own nothing yet */
    return csv_row_at(row, PH, failure);
}

/* Which gear the values of one method were read with, and for a paper whether they are its steps. */
static enum status
take_gear_of(const struct readings *readings, const struct csv_row *row, struct told *told,
             enum reading_method method, struct failure *failure)
{
    const struct gear *gear = NULL;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < told->count; i++) {
        struct told_value *value = &told->values[i];

        if (value->reading.method != method)
            continue;
        if (gear == NULL)
            status = take_gear(readings, row, method == READING_METER, &gear, failure);
        if (gear == NULL)
            return status;
        value->gear = gear;
        value->reading.gear_id = gear->id;
        if (method == READING_PAPER)
            status =
                value->column == PH_LOW ? check_steps(row, value, failure) : read_strip(row, value, failure);
    }
    return status;
}

static enum status
take_meter_gear(struct readings *readings, const struct csv_row *row, struct told *told,
                struct failure *failure)
{
    return take_gear_of(readings, row, told, READING_METER, failure);
}

static enum status
take_paper_gear(struct readings *readings, const struct csv_row *row, struct told *told,
                struct failure *failure)
{
    return take_gear_of(readings, row, told, READING_PAPER, failure);
}

/* A number of each value of the row: from the column beside its own when there is one for each, else from the only
 * one. */
static enum status
take_number(const struct readings *readings, const struct csv_row *row, size_t column, enum units_of of,
            double low, double high, const struct told_value *value, double *ret_number,
            struct failure *failure)
{
    size_t places[SIDE_BY_SIDE_MOST],
        count = import_columns_of(&readings->import, column, places, LENGTH(places));

    return csv_in_quantity(row, places[value->side < count ? value->side : 0], of, low, high, ret_number,
                           failure);
}

static enum status
take_temperature(struct readings *readings, const struct csv_row *row, struct told *told,
                 struct failure *failure)
{
    double temperature_c = NAN;
    struct told_value nothing = {.column = 0};

    for (size_t i = 0; i < told->count || i == 0; i++) {
        struct told_value *value =
            told->count == 0 ? &nothing : &told->values[i]; /* looked at all the same */

        if (take_number(readings, row, TEMPERATURE_C, UNITS_TEMPERATURE, READING_LOWEST_C, READING_HIGHEST_C,
                        value, &temperature_c, failure) != STATUS_OK)
            return failure->status;
        if (isnan(value->reading.temperature_c)) /* one written with the strip is its own */
            value->reading.temperature_c = temperature_c;
    }
    return STATUS_OK;
}

/* Masses weighed, else a concentration told, else the file's. */
static enum status
take_strength(struct readings *readings, const struct csv_row *row, struct told *told,
              struct failure *failure)
{
    static const double lightest_g = 0.001, heaviest_g = 10000.0;
    struct told_value nothing = {.percent = NAN};

    for (size_t i = 0; i < told->count || i == 0; i++) {
        struct told_value *value =
            told->count == 0 ? &nothing : &told->values[i]; /* looked at all the same */

        if (take_number(readings, row, CONCENTRATION_PCT, UNITS_PERCENT, STATED_LOWEST_PCT,
                        STATED_HIGHEST_PCT, value, &value->percent, failure) != STATUS_OK ||
            take_number(readings, row, SOAP_MASS_G, UNITS_NONE, lightest_g, heaviest_g, value,
                        &value->soap_mass_g, failure) != STATUS_OK ||
            take_number(readings, row, WATER_MASS_G, UNITS_NONE, lightest_g, heaviest_g, value,
                        &value->water_mass_g, failure) != STATUS_OK)
            return failure->status;
        if (isnan(value->soap_mass_g) != isnan(value->water_mass_g)) {
            failure_set(failure, STATUS_FORMAT,
                        "soap and water are weighed both, or the concentration is told");
            return csv_row_at(row, isnan(value->soap_mass_g) ? WATER_MASS_G : SOAP_MASS_G, failure);
        }
        if (!isnan(value->soap_mass_g))
            value->percent = NAN;
        else if (isnan(value->percent))
            value->percent = readings->percent;
    }
    return STATUS_OK;
}

static enum status
take_replicate(struct readings *readings, const struct csv_row *row, struct told *told,
               struct failure *failure)
{
    size_t meters = 0, papers = 0;

    (void)readings;
    if (csv_in_integer(row, REPLICATE, 1, REPLICATE_MOST, 0, &told->replicate, failure) != STATUS_OK)
        return failure->status;
    for (size_t i = 0; i < told->count; i++)
        *(told->values[i].reading.method == READING_METER ? &meters : &papers) += 1;
    if (told->replicate == 0 || (meters <= 1 && papers <= 1))
        return STATUS_OK;
    failure_set(failure, STATUS_FORMAT,
                "one replicate number for %zu values side by side: leave the column out", told->count);
    return csv_row_at(row, REPLICATE, failure);
}

static enum status
take_texts(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    const char *bar = NULL;
    enum status status = csv_in_text(row, SESSION, &told->session, failure);

    if (status == STATUS_OK)
        status = csv_in_text(row, PORTION, &told->portion, failure);
    if (status == STATUS_OK)
        status = csv_in_text(row, BAR, &bar, failure);
    if (status == STATUS_OK)
        status = csv_in_text(row, BY, &told->by, failure);
    if (told->by == NULL)
        told->by = options_text(readings->import.options, "by");
    if (status == STATUS_OK)
        status = csv_in_text(row, NOTE, &told->note, failure);
    if (status == STATUS_OK)
        told->bar = bar_label(bar);
    return status;
}

/* Rule 2: what the row says of its batch. */
static enum status
read_batch(const struct readings *readings, const struct csv_row *row, struct batch *batch, bool *ret_role,
           struct failure *failure)
{
    const char *code = NULL, *title = NULL, *reference = NULL, *word = NULL;

    if (csv_in_text(row, BATCH, &code, failure) != STATUS_OK ||
        csv_in_text(row, TITLE, &title, failure) != STATUS_OK ||
        csv_in_day(row, MADE_ON, &batch->made_on, failure) != STATUS_OK ||
        csv_in_text(row, REFERENCE, &reference, failure) != STATUS_OK ||
        csv_in_text(row, ROLE, &word, failure) != STATUS_OK ||
        import_recipe(&readings->import, row, batch, failure) != STATUS_OK)
        return failure->status;
    if (word != NULL && batch_role_parse(word, &batch->role, failure) != STATUS_OK)
        return csv_row_at(row, ROLE, failure);
    *ret_role = word != NULL;
    batch->code = memory_copy(code);
    batch->title = memory_copy(title);
    batch->reference_code = memory_copy(reference);
    return STATUS_OK;
}

static enum status
add_batch(struct readings *readings, const struct csv_row *row, struct batch *batch, struct failure *failure)
{
    if (batch->made_on == DAY_NONE) {
        failure_set(failure, STATUS_MISSING, "there is no batch '%.60s'; a column made_on would add it",
                    batch->code);
        return csv_row_at(row, BATCH, failure);
    }
    batch->added_at = readings->now;
    if (batch_check(batch, clock_day_of(readings->now), failure) != STATUS_OK ||
        batch_store_add(readings->store, batch, failure) != STATUS_OK)
        return failure->status == STATUS_SYSTEM ? STATUS_SYSTEM : csv_row_at(row, BATCH, failure);
    batch_codes_add(&readings->import.batches, batch->code);
    readings->batches++;
    return STATUS_OK;
}

/* Rows of a batch mostly stand together. *ret_new: the row's own batch was added, and is empty now. */
static enum status
find_batch(struct readings *readings, const struct csv_row *row, struct batch *told, bool *ret_new,
           struct failure *failure)
{
    struct batch *batch = &readings->batch;
    bool found = false;
    enum status status;

    if (batch->id != 0 && text_same(batch->code, told->code))
        return STATUS_OK;
    batch_clear(batch);
    status = batch_store_look(readings->store, told->code, batch, &found, failure);
    if (status == STATUS_OK && found && readings->import.ingredient_count > 0) {
        batch_clear(batch);
        status = batch_store_find(readings->store, told->code, batch, failure); /* with its recipe */
    }
    if (status != STATUS_OK || found)
        return status;
    status = add_batch(readings, row, told, failure);
    if (status != STATUS_OK)
        return status;
    *batch = *told;
    *told = (struct batch){.made_on = DAY_NONE};
    *ret_new = true;
    return STATUS_OK;
}

static bool
same_recipe(const struct batch *a, const struct batch *b)
{
    bool same = a->line_count == b->line_count;

    for (size_t i = 0; same && i < a->line_count; i++)
        same = a->lines[i].kind == b->lines[i].kind && text_same(a->lines[i].name, b->lines[i].name) &&
               a->lines[i].mass_g == b->lines[i].mass_g;
    return same;
}

/* What a row says of a batch that is there. */
static enum status
check_same_batch(struct readings *readings, const struct csv_row *row, const struct batch *told, bool role,
                 struct failure *failure)
{
    const struct batch *batch = &readings->batch;
    char day[DAY_TEXT_SIZE];
    size_t column;

    if (told->made_on != DAY_NONE && told->made_on != batch->made_on) {
        column = MADE_ON;
        failure_set(failure, STATUS_CONFLICT, "batch %s was made on %s", batch->code,
                    clock_day_text(batch->made_on, day));
    } else if (role && told->role != batch->role) {
        column = ROLE;
        failure_set(failure, STATUS_CONFLICT, "batch %s is %s", batch->code, batch_role_word(batch->role));
    } else if (told->reference_code != NULL &&
               (batch->reference_code == NULL || !text_same(told->reference_code, batch->reference_code))) {
        column = REFERENCE;
        failure_set(failure, STATUS_CONFLICT, "the reference of batch %s is %s", batch->code,
                    batch->reference_code == NULL ? "not told" : batch->reference_code);
    } else if (told->line_count > 0 && !same_recipe(told, batch)) {
        column = BATCH;
        failure_set(failure, STATUS_CONFLICT, "batch %s has another recipe than this row", batch->code);
    } else {
        if (told->title != NULL && (batch->title == NULL || !text_same(told->title, batch->title)))
            readings->titles++;
        return STATUS_OK;
    }
    return csv_row_at(row, column, failure);
}

static enum status
take_batch(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    const struct batch *batch = &readings->batch;
    struct batch said = {.made_on = DAY_NONE};
    bool role = false, new = false;
    char day[DAY_TEXT_SIZE];
    enum status status = read_batch(readings, row, &said, &role, failure);

    if (status == STATUS_OK)
        status = find_batch(readings, row, &said, &new, failure);
    if (status == STATUS_OK && !new)
        status = check_same_batch(readings, row, &said, role, failure);
    batch_clear(&said);
    if (status == STATUS_OK && told->taken_at != MOMENT_NONE &&
        clock_day_of(told->taken_at) < batch->made_on) {
        failure_set(failure, STATUS_RANGE, "is before batch %s was made, on %s", batch->code,
                    clock_day_text(batch->made_on, day));
        status = csv_row_at(row, TAKEN_AT, failure);
    }
    return status;
}

static enum status
take_time(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    if (csv_in_time(row, TAKEN_AT, TIME, &told->taken_at, failure) != STATUS_OK)
        return failure->status;
    if (told->taken_at <= readings->now)
        return STATUS_OK;
    failure_set(failure, STATUS_RANGE, "is in the future");
    return csv_row_at(row, TAKEN_AT, failure);
}

/* Each part of a row is looked at, so that all that is wrong with it is said at once. */
static enum status
take_row(struct readings *readings, const struct csv_row *row, struct told *told, bool *ret_good,
         struct failure *failure)
{
    static enum status (*const parts[])(struct readings *, const struct csv_row *, struct told *,
                                        struct failure *) = {
        take_meter,    take_paper,     check_method, take_meter_gear, take_paper_gear, take_temperature,
        take_strength, take_replicate, take_time,    take_batch,      take_texts,
    };

    *ret_good = true;
    for (size_t i = 0; i < LENGTH(parts); i++) {
        enum status status = parts[i](readings, row, told, failure);

        if (status == STATUS_SYSTEM)
            return status;
        if (status == STATUS_OK)
            continue;
        problems_add(&readings->import.problems, failure);
        *failure = (struct failure){0};
        *ret_good = false;
        told->unreadable = true;
    }
    return STATUS_OK;
}

/* --- what becomes of it -------------------------------------------------------------------------------- */

/* The water that the whole file's readings were made in, as it was told. */
static enum status
file_water(struct readings *readings, const struct session *session, struct failure *failure)
{
    struct observation observation;
    enum status status;

    observation_init(&observation);
    observation.session_id = session->id;
    observation.word = memory_copy(readings->water);
    observation.seen_at = session->started_at;
    status = observation_store_add(readings->store, &observation, failure);
    observation_clear(&observation);
    return status;
}

/* Rule 7: a sitting that is over, as "read" files one, with the meter and the paper of its first row. */
static enum status
file_session(struct readings *readings, const struct told *told, int64_t *ret_id, struct failure *failure)
{
    struct session session;
    enum status status;

    session_init(&session);
    session.started_at = told->taken_at;
    session.by = by_name(told->by);
    for (size_t i = 0; i < told->count; i++)
        *(told->values[i].reading.method == READING_METER ? &session.meter_id : &session.paper_id) =
            told->values[i].gear->id;
    status = session_store_add(readings->store, &session, failure);
    free(session.by);
    session.by = NULL;
    if (readings->first_session == 0)
        readings->first_session = session.id;
    if (status == STATUS_OK && readings->water != NULL)
        status = file_water(readings, &session, failure);
    if (status == STATUS_OK)
        status = session_store_close(readings->store, session.id, session.started_at, NULL, failure);
    if (status == STATUS_OK)
        *ret_id = session.id;
    return status;
}

static enum status
file_masses(struct readings *readings, const struct told *told, const struct told_value *value,
            int64_t specimen_id, struct failure *failure)
{
    struct weighing weighing = {.specimen_id = specimen_id,
                                .of = WEIGHING_SOAP,
                                .mass_g = value->soap_mass_g,
                                .taken_at = told->taken_at};
    enum status status;

    if (isnan(value->soap_mass_g))
        return STATUS_OK;
    status = weighing_store_add(readings->store, &weighing, failure);
    weighing.of = WEIGHING_WATER;
    weighing.mass_g = value->water_mass_g;
    return status == STATUS_OK ? weighing_store_add(readings->store, &weighing, failure) : status;
}

static enum status
file_portion(struct readings *readings, const struct told *told, const struct told_value *value,
             int64_t *ret_id, struct failure *failure)
{
    int64_t *session_id = &shared_with(readings, told, value, SHARED_SESSION)->number;
    struct specimen specimen;
    enum status status = STATUS_OK;

    if (*session_id == 0)
        status = file_session(readings, told, session_id, failure);
    specimen_init(&specimen);
    specimen.session_id = *session_id;
    specimen.batch_id = readings->batch.id;
    specimen.bar = memory_copy(told->bar);
    specimen.stated_concentration_pct = value->percent;
    if (status == STATUS_OK)
        status = specimen_store_add(readings->store, &specimen, failure);
    if (status == STATUS_OK)
        status = file_masses(readings, told, value, specimen.id, failure);
    if (status == STATUS_OK)
        *ret_id = specimen.id;
    specimen_clear(&specimen);
    return status;
}

/* *ret_added is false when it was there already. */
static enum status
file_value(struct readings *readings, const struct csv_row *row, const struct told *told,
           struct told_value *value, bool *ret_added, struct failure *failure)
{
    struct reading *reading = &value->reading;
    struct sharing *portion;
    char day[DAY_TEXT_SIZE];
    bool same = false;
    enum status status;

    reading->taken_at = told->taken_at;
    reading->note = memory_copy(told->note);
    reading->replicate = (int)told->replicate;
    if (reading->replicate == 0)
        reading->replicate = (int)++shared_with(readings, told, value, SHARED_REPLICATE)->number; /* rule 8 */
    status = reading_store_same(readings->store, readings->batch.id, told->bar, row->fields[BAR] == NULL,
                                reading, &same, failure);
    *ret_added = status == STATUS_OK && !same;
    if (!*ret_added)
        return status;
    portion = shared_with(readings, told, value, SHARED_PORTION);
    if (llabs(reading->taken_at - portion->first_at) > CLOCK_DAY_S)
        return failure_set(
            failure, STATUS_CONFLICT,
            "session '%.40s' began on %s: a cup is not read for more than a day, another one needs "
            "another label",
            told->session, clock_day_text(clock_day_of(portion->first_at), day));
    if (portion->number == 0)
        status = file_portion(readings, told, value, &portion->number, failure);
    reading->specimen_id = portion->number;
    if (status == STATUS_OK)
        status = reading_store_add(readings->store, reading, failure);
    return status;
}

/* Rule 3. */
static enum status
take_superseded(const struct csv_row *row, bool *ret_superseded, struct failure *failure)
{
    static const char *const no[] = {"0", "no", "false", "-"};
    const char *word = NULL;

    if (csv_in_text(row, SUPERSEDED, &word, failure) != STATUS_OK)
        return failure->status;
    *ret_superseded = word != NULL;
    for (size_t i = 0; word != NULL && i < LENGTH(no); i++)
        if (text_same(word, no[i]))
            *ret_superseded = false;
    return STATUS_OK;
}

/* Rule 6. */
static void
count_gaps(struct readings *readings, const struct told_value *value)
{
    double percent = isnan(value->soap_mass_g)
                         ? value->percent
                         : 100.0 * value->soap_mass_g / (value->soap_mass_g + value->water_mass_g);

    readings->no_concentration += isnan(percent) ? 1U : 0U;
    readings->no_temperature += isnan(value->reading.temperature_c) ? 1U : 0U;
    readings->too_far += percent < AT_REFERENCE_LOW_PCT || percent > AT_REFERENCE_HIGH_PCT ? 1U : 0U;
}

static void
report_gaps(const struct readings *readings)
{
    FILE *out = readings->import.context->out;

    if (readings->no_concentration > 0)
        fprintf(out, "without a concentration, so they clear no bar: %zu (--percent; later, correct)\n",
                readings->no_concentration);
    if (readings->no_temperature > 0)
        fprintf(out, "without a temperature, so they clear no bar: %zu (later, correct)\n",
                readings->no_temperature);
    if (readings->too_far > 0)
        fprintf(out, "outside %g to %g %%, so they clear no bar: %zu\n", AT_REFERENCE_LOW_PCT,
                AT_REFERENCE_HIGH_PCT, readings->too_far);
}

static enum status
file_row(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < told->count; i++) {
        struct told_value *value = &told->values[i];
        bool added = false;

        status = file_value(readings, row, told, value, &added, failure);
        if (status != STATUS_OK)
            return status == STATUS_SYSTEM ? status : csv_row_at(row, value->column, failure);
        readings->import.added += added ? 1U : 0U;
        readings->import.skipped_rows += added ? 0U : 1U;
        if (added)
            count_gaps(readings, value);
    }
    return status;
}

static enum status
take(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct readings *readings = payload;
    struct told told = {.taken_at = MOMENT_NONE};
    bool superseded = false, good = false;
    enum status status = take_superseded(row, &superseded, failure);

    import_progress(&readings->import, row);
    if (status != STATUS_OK || superseded) {
        readings->superseded += superseded ? 1U : 0U;
        return status;
    }
    status = take_row(readings, row, &told, &good, failure);
    readings->empty += told.count == 0 && good ? 1U : 0U;
    if (status == STATUS_OK && good)
        status = file_row(readings, row, &told, failure);
    told_clear(&told);
    return status;
}

/* Rule 5, for the batches that were tested and those whose recipe came along. */
static enum status
hold(struct readings *readings, struct context *context, struct failure *failure)
{
    struct batch_codes *added = &readings->import.batches;
    struct filed_sessions filed = {readings->first_session, INT64_MAX};
    char **codes = NULL;
    size_t count = 0;
    enum status status = STATUS_OK;

    if (readings->first_session != 0)
        status = batch_store_of_sessions(context->store, readings->first_session, &codes, &count, failure);
    if (status == STATUS_OK && count > 0)
        status = batch_state_after_results(context, (const char *const *)codes, count, filed, failure);
    if (status == STATUS_OK && readings->import.ingredient_count > 0)
        status = batch_state_after_results(context, (const char *const *)added->codes, added->count,
                                           (struct filed_sessions){0}, failure);
    for (size_t i = 0; i < count; i++)
        free(codes[i]);
    free(codes);
    return status;
}

static void
report(const struct readings *readings)
{
    FILE *out = readings->import.context->out;

    import_report(&readings->import);
    if (readings->batches > 0)
        fprintf(out, "batches added: %zu\n", readings->batches);
    if (readings->superseded > 0)
        fprintf(out, "superseded (corrected) rows left out: %zu\n", readings->superseded);
    if (readings->empty > 0)
        fprintf(out, "rows without a reading: %zu\n", readings->empty);
    if (readings->titles > 0)
        fprintf(out, "rows with another title than their batch has: %zu\n", readings->titles);
}

/* In the transaction that the caller has begun, with all it has to say. */
static enum status
add_all(struct readings *readings, struct context *context, struct failure *failure)
{
    enum status status = gear_store_list(context->store, &readings->gear, &readings->gear_count, failure);

    if (status == STATUS_OK)
        status = rows_begin_many(context->store, failure);
    if (status != STATUS_OK)
        return status;
    status =
        import_outcome(&readings->import, import_read(&readings->import, take, readings, failure), failure);
    status = rows_end_many(context->store, status, failure);
    if (status != STATUS_OK)
        return status;
    report(readings);
    status = hold(readings, context, failure);
    return status == STATUS_OK && !import_only_checks(&readings->import)
               ? import_keep_mapping(&readings->import, failure)
               : status;
}

static void
readings_clear(struct readings *readings)
{
    for (size_t i = 0; i < readings->gear_count; i++)
        gear_clear(&readings->gear[i]);
    free(readings->gear);
    batch_clear(&readings->batch);
    tdestroy(readings->shared, free_sharing);
    import_close(&readings->import);
}

static enum status
check_water(const char *water, struct failure *failure)
{
    const char *const *words;
    size_t count = observation_words(OBSERVATION_WATER, &words), index;

    return water == NULL ? STATUS_OK : words_find("--water", water, words, count, &index, failure);
}

/* What the options say of all rows. */
static enum status
read_options(struct readings *readings, struct failure *failure)
{
    static const char *const sides[] = {"replicates", "portions"};
    const struct options *options = readings->import.options;
    const char *side = options_text(options, "side-by-side");
    size_t index = 0;
    enum status status = STATUS_OK;

    readings->water = options_text(options, "water");
    readings->percent = options_number(options, "percent");
    readings->meter = options_text(options, "meter");
    readings->paper = options_text(options, "paper");
    readings->doubtful = options_has(options, "doubtful");
    if (side != NULL)
        status = words_find("--side-by-side", side, sides, LENGTH(sides), &index, failure);
    readings->portions = index == 1;
    return status == STATUS_OK ? check_water(readings->water, failure) : status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    static const struct import_kind kind = {"readings",      "readings",    columns,
                                            LENGTH(columns), options_known, IMPORT_RECIPE};
    struct readings readings = {.store = context->store, .now = context_now(context)};
    struct held_words held;
    struct failure undone = {0}; /* a check is undone, and unsaid, on purpose */
    enum status status = import_open(&readings.import, context, options, &kind, failure);

    if (status == STATUS_OK)
        status = read_options(&readings, failure);
    if (status == STATUS_OK)
        status = context_begin(context, &held, failure);
    if (status == STATUS_OK) {
        status = add_all(&readings, context, failure);
        if (status == STATUS_OK && import_only_checks(&readings.import)) {
            context_commit(context, &held, STATUS_CONFLICT, &undone);
            report(&readings);
        } else {
            status = context_commit(context, &held, status, failure);
        }
    }
    if (status == STATUS_OK)
        report_gaps(&readings);
    readings_clear(&readings);
    return status;
}

const struct command import_readings_command = {
    .name = "import readings",
    .names = "FILE",
    .fewest = 1,
    .most = 1,
    .summary = "add readings from a CSV file, all of them or none",
    .example =
        "curetrace import readings spring.csv --column ph=\"Meter pH\" --separator semicolon --decimal comma",
    .options = options_known,
    .needs = COMMAND_WRITES_STORE,
    .run = run,
};
