/* observing.c - what is seen beside the readings. */
#include "observing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "observation_store.h"
#include "text.h"

enum { SEEN_MOST = 8 };

/* `word` is filed at once; `confirmed` instead of it after a yes. */
static const struct {
    enum step_records records;
    enum observation_kind kind;
    const char *choice, *word, *confirmed;
} table[] = {
    {RECORDS_WATER_KIND, OBSERVATION_WATER, "distilled", "distilled", NULL},
    {RECORDS_WATER_KIND, OBSERVATION_WATER, "deionised", "deionised", NULL},
    {RECORDS_WATER_KIND, OBSERVATION_WATER, "other", "other", NULL},
    {RECORDS_UNDISSOLVED, OBSERVATION_UNDISSOLVED, "clear", "nothing", NULL},
    {RECORDS_UNDISSOLVED, OBSERVATION_UNDISSOLVED, "cloudy", "nothing", NULL},
    {RECORDS_UNDISSOLVED, OBSERVATION_UNDISSOLVED, "residue", "nothing", NULL},
    {RECORDS_UNDISSOLVED, OBSERVATION_UNDISSOLVED, "gelled", "nothing", NULL},
    {RECORDS_UNDISSOLVED, OBSERVATION_UNDISSOLVED, "nothing", "nothing", NULL},
    {RECORDS_UNDISSOLVED, OBSERVATION_UNDISSOLVED, "undissolved soap", "soap", NULL},
    {RECORDS_UNDISSOLVED, OBSERVATION_UNDISSOLVED, "soap", "soap", NULL},
    {RECORDS_BAR_LOOK, OBSERVATION_LOOK, "nothing of it", "sound", NULL},
    {RECORDS_BAR_LOOK, OBSERVATION_LOOK, "weeping", NULL, "weeping"},
    {RECORDS_BAR_LOOK, OBSERVATION_LOOK, "white pockets or streaks", "white", "lye-pockets"},
    {RECORDS_BAR_LOOK, OBSERVATION_LOOK, "crumbling", "crumbling", NULL},
    {RECORDS_BAR_LOOK, OBSERVATION_LOOK, "glassy spots", "glassy", NULL},
    {RECORDS_BAR_LOOK, OBSERVATION_LOOK, "orange spots", "orange", NULL},
};

/* What people type for a choice. */
static const struct {
    enum step_records records;
    const char *choice, *words[16];
} others[] = {
    {RECORDS_WATER_KIND, "distilled", {"dist", "destilled"}},
    {RECORDS_WATER_KIND,
     "deionised",
     {"deionized", "demineralised", "demineralized", "demin", "DI", "reverse osmosis", "RO"}},
    {RECORDS_WATER_KIND,
     "other",
     {"tap", "tap water", "mains", "faucet", "rain", "rain water", "spring", "spring water", "well",
      "bottled", "mineral", "filtered"}},
    {RECORDS_METER_CHECK, "checked", {"calibrated", "done", "today"}},
    {RECORDS_UNDISSOLVED,
     "clear",
     {"clean", "transparent", "nothing left", "none", "all dissolved", "dissolved"}},
    {RECORDS_UNDISSOLVED, "cloudy", {"milky", "turbid", "hazy", "opaque", "white", "foggy"}},
    {RECORDS_UNDISSOLVED,
     "residue",
     {"sediment", "salt", "clay", "oats", "colour", "color", "pigment", "mica", "herbs", "charcoal", "grit"}},
    {RECORDS_UNDISSOLVED,
     "undissolved soap",
     {"bits", "bits of soap", "soap", "lumps", "pieces", "flakes", "not dissolved", "undissolved"}},
    {RECORDS_UNDISSOLVED, "gelled", {"gel", "jelly", "like jelly", "set", "solid", "thick", "slimy"}},
    {RECORDS_BAR_LOOK,
     "nothing of it",
     {"none", "fine", "good", "ok", "no", "sound", "looks good", "normal"}},
    {RECORDS_BAR_LOOK, "weeping", {"wet", "drops", "sweating", "sweat", "damp", "beads", "oozing"}},
    {RECORDS_BAR_LOOK,
     "white pockets or streaks",
     {"pockets", "streaks", "white spots", "white powder", "ash", "soda ash", "crystals", "lye pockets"}},
    {RECORDS_BAR_LOOK, "crumbling", {"crumbly", "crumbles", "brittle", "dry", "cracks", "cracked"}},
    {RECORDS_BAR_LOOK, "glassy spots", {"glassy", "glass", "translucent", "see-through"}},
    {RECORDS_BAR_LOOK, "orange spots", {"orange", "dos", "rancid", "yellow spots", "brown spots"}},
};

/* What an answer says: words of one kind, or the water's pH. */
struct seen {
    enum observation_kind kind;
    const char *words[SEEN_MOST]; /* lent for ever */
    size_t count;
    double value; /* NAN: none */
};

bool
observing_records(const struct step *step)
{
    return step->records == RECORDS_WATER_KIND || step->records == RECORDS_UNDISSOLVED ||
           step->records == RECORDS_BAR_LOOK ||
           (step->records == RECORDS_WATER_CHECK && step->kind == STEP_PH);
}

bool
observing_knows(enum step_records records, const char *choice)
{
    for (size_t i = 0; i < LENGTH(table); i++)
        if (table[i].records == records && text_same(table[i].choice, choice))
            return true;
    return false;
}

const char *
observing_meant(enum step_records records, const char *words)
{
    for (size_t i = 0; i < LENGTH(others); i++)
        for (size_t k = 0; others[i].records == records && k < LENGTH(others[i].words); k++)
            if (others[i].words[k] != NULL && text_same(others[i].words[k], words))
                return others[i].choice;
    return NULL;
}

/* Index of the choice that begins a list of them, and what stands behind it. */
static size_t
next_choice(enum step_records records, const char **list)
{
    const char *choice = *list + strspn(*list, " ,");
    size_t length = strcspn(choice, ",");

    *list = choice + length;
    for (size_t i = 0; length > 0 && i < LENGTH(table); i++)
        if (table[i].records == records && strlen(table[i].choice) == length &&
            text_same_start(choice, table[i].choice, length))
            return i;
    return LENGTH(table);
}

const char *
observing_confirms(const struct step *step, const char *chosen)
{
    bool weeping = false, white = false;

    while (chosen != NULL && *chosen != '\0') {
        size_t i = next_choice(step->records, &chosen);

        if (i < LENGTH(table) && table[i].confirmed != NULL) {
            weeping = weeping || table[i].word == NULL;
            white = white || table[i].word != NULL;
        }
    }
    if (weeping && white)
        return "Does it come out of the bar itself, or are the pockets wet, or grainy like salt under a "
               "glove (never taste)? Not water "
               "from moist "
               "air, nor the dry dust of soda ash outside. yes or no:";
    if (weeping)
        return "Do the drops or the film come out of the bar itself, not from moist air or oil? yes or no:";
    return white ? "Are the pockets or streaks wet, or grainy like salt under a glove (never taste), not the "
                   "dry dust of soda ash "
                   "outside? yes or "
                   "no:"
                 : NULL;
}

static struct seen
seen_by(const struct step *step, const struct answer *answer)
{
    struct seen seen = {.kind = OBSERVATION_WATER_PH, .value = NAN};
    const char *rest = answer->text;

    if (answer->outcome != ANSWER_DONE)
        rest = NULL;
    else if (step->kind == STEP_PH)
        seen.value = answer->value;
    for (size_t i = 0; i < LENGTH(table); i++)
        if (table[i].records == step->records)
            seen.kind = table[i].kind;
    while (step->kind == STEP_CHOICE && rest != NULL && *rest != '\0' && seen.count < SEEN_MOST) {
        size_t i = next_choice(step->records, &rest);
        const char *word = NULL;

        if (i < LENGTH(table))
            word = table[i].confirmed != NULL && answer->value > 0.0 ? table[i].confirmed : table[i].word;
        if (word != NULL)
            seen.words[seen.count++] = word;
    }
    return seen;
}

static enum status
add(struct store *store, const struct seen *seen, const struct answer *answer, const char *word, double value,
    int64_t supersedes, struct failure *failure)
{
    struct observation observation;
    enum status status;

    observation_init(&observation);
    observation.session_id = answer->session_id;
    observation.specimen_id = answer->specimen_id;
    observation.kind = seen->kind;
    observation.word = memory_copy(word);
    observation.value = value;
    observation.seen_at = answer->answered_at;
    observation.supersedes = supersedes;
    observation.why = supersedes == 0 ? NULL : memory_copy(answer->why);
    status = observation_check(&observation, failure);
    if (status == STATUS_OK)
        status = observation_store_add(store, &observation, failure);
    observation_clear(&observation);
    return status;
}

/* One that stands from before: it is still seen, or what is seen now takes its place, or it is taken back. */
static enum status
settle(struct store *store, struct seen *seen, const struct answer *answer, const struct observation *old,
       struct failure *failure)
{
    const char *word = NULL;
    double value = seen->value;

    if (old->word == NULL && old->value == value) {
        seen->value = NAN;
        return STATUS_OK;
    }
    for (size_t i = 0; old->word != NULL && i < seen->count; i++) {
        if (!text_same(seen->words[i], old->word))
            continue;
        seen->words[i] = seen->words[--seen->count];
        return STATUS_OK;
    }
    if (seen->count > 0)
        word = seen->words[--seen->count];
    seen->value = NAN;
    return add(store, seen, answer, word, value, old->id, failure);
}

enum status
observing_file(struct store *store, const struct question *question, const struct answer *answer,
               struct failure *failure)
{
    struct seen seen = seen_by(question->step, answer);
    struct observation *old = NULL;
    size_t count = 0;
    enum status status = STATUS_OK;

    if (answer->supersedes != 0)
        status = observation_store_of_session(store, answer->session_id, &old, &count, failure);
    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK && old[i].kind == seen.kind && old[i].specimen_id == answer->specimen_id &&
            observation_stands(&old[i]))
            status = settle(store, &seen, answer, &old[i], failure);
        observation_clear(&old[i]);
    }
    free(old);
    for (size_t i = 0; status == STATUS_OK && i < seen.count; i++)
        status = add(store, &seen, answer, seen.words[i], NAN, 0, failure);
    if (status == STATUS_OK && !isnan(seen.value))
        status = add(store, &seen, answer, NULL, seen.value, 0, failure);
    return status;
}
