/* titrating.c - the titrations that the answers of a walk are. */
#include "titrating.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "follow_store.h"
#include "free_alkali.h"
#include "memory.h"
#include "text.h"
#include "titration_model.h"
#include "weighed_acid.h"

/* What of a titration an answer speaks of. */
enum part {
    PART_NONE,
    PART_SOAP,
    PART_ACID,
    PART_VOLUME, /* or mass */
    PART_BLANK,
    PART_BURETTE,
    PART_CITRIC,
    PART_CITRIC_FORM,
    PART_ACID_WATER
};

static enum part
part_of(const struct step *step)
{
    static const enum part parts[STEP_RECORDS] = {[RECORDS_SOAP] = PART_SOAP,
                                                  [RECORDS_ACID] = PART_ACID,
                                                  [RECORDS_TITRANT] = PART_VOLUME,
                                                  [RECORDS_BLANK] = PART_BLANK,
                                                  [RECORDS_CITRIC] = PART_CITRIC,
                                                  [RECORDS_CITRIC_FORM] = PART_CITRIC_FORM,
                                                  [RECORDS_ACID_WATER] = PART_ACID_WATER};

    return step_is_burette(step) ? PART_BURETTE : parts[step->records];
}

bool
titrating_takes(const struct step *step)
{
    return part_of(step) != PART_NONE;
}

/* The answer that says a part of a portion, or of all of them; NULL while it is open. */
static const struct answer *
answer_of(const struct titrating *titrating, enum part part, int64_t specimen_id)
{
    const struct answer *found = NULL;

    for (size_t i = 0; i <= titrating->answer_count; i++) {
        const struct answer *answer =
            i == titrating->answer_count ? titrating->filed : &titrating->answers[i];
        const struct step *step =
            answer == NULL ? NULL : procedure_step(&titrating->bench->procedure, answer->step);

        if (step != NULL && part_of(step) == part && answer->outcome != ANSWER_NOTED &&
            answer->superseded_by == 0 &&
            (answer->specimen_id == specimen_id || (answer->specimen_id == 0 && part != PART_VOLUME)))
            found = answer;
    }
    return found;
}

static double
value_of(const struct titrating *titrating, enum part part, int64_t specimen_id)
{
    const struct answer *answer = answer_of(titrating, part, specimen_id);

    return answer == NULL || answer->outcome != ANSWER_DONE ? (double)NAN : answer->value;
}

/* How strong the acid is: as told, or as it was made; NAN: not known. */
struct strength {
    double acid_mol, u_relative; /* per litre, or per kg where it is weighed */
    char *made_of;               /* owned; NULL: told */
};

static bool
is_weighed(const struct titrating *titrating)
{
    const struct procedure *procedure = &titrating->bench->procedure;

    for (size_t i = 0; i < procedure->step_count; i++)
        if (procedure->steps[i].records == RECORDS_TITRANT)
            return procedure->steps[i].kind == STEP_MASS;
    return false;
}

static struct strength
strength_of(const struct titrating *titrating, int64_t specimen_id)
{
    const struct answer *form = answer_of(titrating, PART_CITRIC_FORM, 0);
    const struct gear *balance = titrating->bench->balance;
    struct weighed_acid acid = {.form = CITRIC_NOT_KNOWN,
                                .citric_mass_g = value_of(titrating, PART_CITRIC, 0),
                                .water_mass_g = value_of(titrating, PART_ACID_WATER, 0),
                                .purity_fraction = (double)NAN,
                                .readability_g =
                                    balance == NULL ? FREE_ALKALI_BALANCE_ASSUMED_G : balance->readability_g};
    struct strength strength = {value_of(titrating, PART_ACID, specimen_id), (double)NAN, NULL};
    double mol_per_kg = NAN, mol_per_l = NAN;
    struct failure not_made = {0};

    if (!isnan(strength.acid_mol) || isnan(acid.citric_mass_g) || isnan(acid.water_mass_g))
        return strength;
    if (form != NULL && form->outcome == ANSWER_DONE)
        citric_form_parse(form->text, &acid.form, &not_made);
    if (weighed_acid_strength(&acid, &mol_per_kg, &strength.u_relative, &mol_per_l, &not_made) != STATUS_OK)
        return strength;
    strength.acid_mol = is_weighed(titrating) ? mol_per_kg : mol_per_l;
    strength.made_of = text_format("acid of %g g citric acid (%s) in %g g of water", acid.citric_mass_g,
                                   citric_form_words[acid.form], acid.water_mass_g);
    return strength;
}

static double
acid_of(const struct titrating *titrating, int64_t specimen_id)
{
    struct strength strength = strength_of(titrating, specimen_id);

    free(strength.made_of);
    return strength.acid_mol;
}

static double
soap_of(const struct titrating *titrating, const struct specimen *specimen)
{
    double soap_g = value_of(titrating, PART_SOAP, specimen->id);

    return isnan(soap_g) ? specimen->soap_mass_g : soap_g;
}

/* Rule 1. */
static bool
is_complete(const struct titrating *titrating, const struct specimen *specimen)
{
    return !isnan(soap_of(titrating, specimen)) && !isnan(acid_of(titrating, specimen->id)) &&
           !isnan(value_of(titrating, PART_VOLUME, specimen->id));
}

/* Rule 3. */
static int
replicate_of(const struct bench *bench, size_t specimen)
{
    int replicate = 1;

    for (size_t i = 0; i < specimen; i++)
        if (bench->specimens[i].batch_id == bench->specimens[specimen].batch_id)
            replicate++;
    return replicate;
}

/* Rule 4. */
static void
leave_out_what_cannot_be(struct titration *titration)
{
    double most_ml = fmin(titration->volume_ml, TITRATION_BLANK_HIGHEST_ML);
    char *note = titration->note;

    if (!(titration->burette_ml > 0.0 && titration->burette_ml <= TITRATION_BURETTE_HIGHEST_ML))
        titration->burette_ml = (double)NAN;
    if (!(titration->blank_ml > most_ml))
        return;
    titration->note =
        text_format("%s%sthe blank of %g %s is larger than %s and is not taken off", note == NULL ? "" : note,
                    note == NULL ? "" : "; ", titration->blank_ml, titration_acid_unit(titration),
                    titration->blank_ml > titration->volume_ml ? "the titration" : "a blank can be");
    titration->blank_ml = (double)NAN;
    free(note);
}

static enum status
add(struct store *store, struct titration *titration, struct failure *failure)
{
    enum status status;

    leave_out_what_cannot_be(titration);
    status = titration_check(titration, failure);
    return status == STATUS_OK ? titration_store_add(store, titration, failure) : status;
}

static void
set_acid(const struct titrating *titrating, int64_t specimen_id, struct titration *titration)
{
    struct strength strength = strength_of(titrating, specimen_id);

    titration->acid_mol_per_l = strength.acid_mol;
    titration->u_acid_relative = strength.u_relative;
    if (strength.made_of == NULL)
        return;
    free(titration->note);
    titration->note = strength.made_of;
}

static enum status
file_first(const struct titrating *titrating, size_t index, struct failure *failure)
{
    const struct session *session = &titrating->bench->session;
    const struct specimen *specimen = &titrating->bench->specimens[index];
    const struct answer *volume = answer_of(titrating, PART_VOLUME, specimen->id);
    struct titration titration;
    enum status status = STATUS_OK;

    if (!is_complete(titrating, specimen))
        return STATUS_OK;
    titration_init(&titration);
    titration.soap_mass_g = soap_of(titrating, specimen);
    set_acid(titrating, specimen->id, &titration);
    titration.acid_weighed = is_weighed(titrating);
    titration.volume_ml = value_of(titrating, PART_VOLUME, specimen->id);
    titration.blank_ml = value_of(titrating, PART_BLANK, specimen->id);
    titration.burette_ml = value_of(titrating, PART_BURETTE, specimen->id);
    titration.batch_id = specimen->batch_id;
    titration.session_id = session->id;
    titration.replicate = replicate_of(titrating->bench, index);
    titration.balance_id = specimen->balance_id != 0 ? specimen->balance_id : session->balance_id;
    titration.taken_at = volume->answered_at;
    titration.bar = memory_copy(specimen->bar);
    titration.method = memory_copy(titrating->bench->procedure.name);
    status = add(titrating->store, &titration, failure);
    titration_clear(&titration);
    return status;
}

static bool
same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

/* Set what the answer filed just now speaks of; false when that is as it was. */
static bool
set_part(const struct titrating *titrating, const struct specimen *specimen, enum part part,
         struct titration *titration)
{
    const struct titration was = *titration;
    double value = value_of(titrating, part, specimen->id);

    switch (part) {
    case PART_SOAP:
        titration->soap_mass_g = value;
        break;
    case PART_VOLUME:
        titration->volume_ml = value;
        break;
    case PART_BLANK:
        titration->blank_ml = value;
        break;
    case PART_BURETTE:
        titration->burette_ml = value;
        break;
    case PART_ACID:
    case PART_CITRIC:
    case PART_CITRIC_FORM:
    case PART_ACID_WATER:
        set_acid(titrating, specimen->id, titration);
        break;
    case PART_NONE:
    default:
        break;
    }
    return !same(was.soap_mass_g, titration->soap_mass_g) || !same(was.volume_ml, titration->volume_ml) ||
           !same(was.blank_ml, titration->blank_ml) || !same(was.burette_ml, titration->burette_ml) ||
           !same(was.acid_mol_per_l, titration->acid_mol_per_l) ||
           !same(was.u_acid_relative, titration->u_acid_relative);
}

/* Rule 2: `stands` with what the answer says changed, over itself. */
static enum status
file_over(const struct titrating *titrating, const struct specimen *specimen, struct titration *stands,
          struct failure *failure)
{
    const struct answer *filed = titrating->filed;
    const struct step *step =
        filed == NULL ? NULL : procedure_step(&titrating->bench->procedure, filed->step);

    if (step == NULL || !set_part(titrating, specimen, part_of(step), stands))
        return STATUS_OK;
    stands->supersedes = stands->id;
    free(stands->why);
    stands->why = memory_copy(filed->why == NULL ? "answered later" : filed->why);
    return add(titrating->store, stands, failure);
}

static enum status
file_portion(const struct titrating *titrating, size_t index, struct failure *failure)
{
    const struct specimen *specimen = &titrating->bench->specimens[index];
    int replicate = replicate_of(titrating->bench, index);
    struct titration *titrations = NULL;
    bool stands = false;
    size_t count = 0;
    enum status status =
        titration_store_of_batch(titrating->store, specimen->batch_id, &titrations, &count, failure);

    for (size_t i = 0; i < count; i++) {
        bool mine = titrations[i].session_id == specimen->session_id &&
                    titrations[i].replicate == replicate && titrations[i].superseded_by == 0;

        stands = stands || mine;
        if (status == STATUS_OK && mine && !titrations[i].withdrawn)
            status = file_over(titrating, specimen, &titrations[i], failure);
        titration_clear(&titrations[i]);
    }
    free(titrations);
    return status == STATUS_OK && !stands ? file_first(titrating, index, failure) : status;
}

enum status
titrating_file(const struct titrating *titrating, struct failure *failure)
{
    int64_t only_id = titrating->filed == NULL ? 0 : titrating->filed->specimen_id;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < titrating->bench->specimen_count; i++)
        if (only_id == 0 || titrating->bench->specimens[i].id == only_id)
            status = file_portion(titrating, i, failure);
    return status;
}

size_t
titrating_without_acid(const struct titrating *titrating)
{
    for (size_t i = 0; i < titrating->bench->specimen_count; i++) {
        const struct specimen *specimen = &titrating->bench->specimens[i];

        if (!isnan(soap_of(titrating, specimen)) && !isnan(value_of(titrating, PART_VOLUME, specimen->id)) &&
            isnan(acid_of(titrating, specimen->id)))
            return i;
    }
    return SIZE_MAX;
}

bool
titrating_filed(const struct titrating *titrating, size_t specimen)
{
    const struct bench *bench = titrating->bench;
    bool filed = false;

    for (size_t i = 0; i < bench->specimen_count; i++)
        filed = filed || (bench->specimens[i].batch_id == bench->specimens[specimen].batch_id &&
                          is_complete(titrating, &bench->specimens[i]));
    return filed;
}

static bool
is_heavy_by_itself(const struct titrating *titrating, const struct specimen *specimen)
{
    double blank_ml = value_of(titrating, PART_BLANK, specimen->id);
    double net_ml = value_of(titrating, PART_VOLUME, specimen->id) - (isnan(blank_ml) ? 0.0 : blank_ml);
    double free_naoh_pct =
        titration_free_naoh_pct(net_ml, acid_of(titrating, specimen->id), soap_of(titrating, specimen));

    return !isnan(free_naoh_pct) && titration_band_of(free_naoh_pct) >= TITRATION_HOLD;
}

bool
titrating_may_judge(const struct titrating *titrating, size_t specimen)
{
    const struct bench *bench = titrating->bench;
    bool all = true;

    for (size_t i = 0; i < bench->specimen_count; i++) {
        if (bench->specimens[i].batch_id != bench->specimens[specimen].batch_id)
            continue;
        if (is_heavy_by_itself(titrating, &bench->specimens[i]))
            return true;
        all = all && answer_of(titrating, PART_VOLUME, bench->specimens[i].id) != NULL;
    }
    return all;
}

double
titrating_value(const struct titrating *titrating, enum step_records records, int64_t specimen_id)
{
    const struct step step = {.records = records};

    return value_of(titrating, part_of(&step), specimen_id);
}

static char *
says_strength(const struct titrating *titrating)
{
    struct strength strength = strength_of(titrating, 0);
    char *text = strength.made_of == NULL
                     ? NULL
                     : text_format("that makes %.4g mol of H+ per %s, +/- %.2g %% (95 %%)", strength.acid_mol,
                                   is_weighed(titrating) ? "kg" : "litre", 196.0 * strength.u_relative);

    free(strength.made_of);
    return text;
}

char *
titrating_says(const struct titrating *titrating, const struct question *question)
{
    const struct specimen *specimen;
    enum part part = part_of(question->step);
    double blank;

    if (part == PART_CITRIC || part == PART_CITRIC_FORM || part == PART_ACID_WATER)
        return says_strength(titrating);
    if (part != PART_VOLUME || question->cup == QUESTION_SESSION)
        return NULL;
    specimen = &titrating->bench->specimens[question->cup];
    if (!is_complete(titrating, specimen))
        return NULL;
    blank = value_of(titrating, PART_BLANK, specimen->id);
    return text_format(
        "on record: this portion has %.3f %% of free NaOH, give or take",
        fmax(0.0, titration_free_naoh_pct(value_of(titrating, PART_VOLUME, specimen->id) -
                                              (isnan(blank) ? 0.0 : blank),
                                          acid_of(titrating, specimen->id), soap_of(titrating, specimen))));
}
