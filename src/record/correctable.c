/* correctable.c - which values of which records can be put right. */
#include "correctable.h"

#include <stdlib.h>
#include <string.h>

#include "text.h"

const struct correctable correctables[] = {
    {"reading",
     "readings",
     "reading",
     CORRECT_BY_ROW,
     {{"ph", "ph", CORRECT_NUMBER, true},
      {"between", "ph_low", CORRECT_WORKED_OUT, true},
      {NULL, "ph_high", CORRECT_WORKED_OUT, true},
      {"temperature-c", "temperature_c", CORRECT_NUMBER, true},
      {"gear", "gear", CORRECT_GEAR, true},
      {"calibration", "calibration", CORRECT_NUMBER_OF_ROW, true},
      {NULL, "calibration_named", CORRECT_WORKED_OUT, true},
      {"portion", "specimen", CORRECT_NUMBER_OF_ROW, true},
      {"at", "taken_at", CORRECT_MOMENT, true},
      {"note", "note", CORRECT_TEXT, false}}},
    {"weighing",
     "weighings",
     "weighing",
     CORRECT_BY_ROW,
     {{"mass-g", "mass_g", CORRECT_NUMBER, true},
      {"gear", "balance", CORRECT_GEAR, true},
      {"at", "taken_at", CORRECT_MOMENT, false}}},
    {"titration",
     "titrations",
     "titration",
     CORRECT_BY_ROW,
     {{"soap-g", "soap_mass_g", CORRECT_NUMBER, true},
      {"acid-mol-l", "acid_mol_per_l", CORRECT_NUMBER, true},
      {"volume-ml", "volume_ml", CORRECT_NUMBER, true},
      {"blank-ml", "blank_ml", CORRECT_NUMBER, true},
      {"burette-ml", "burette_ml", CORRECT_NUMBER, true},
      {"gear", "balance", CORRECT_GEAR, true},
      {"batch", "batch", CORRECT_BATCH, true},
      {"bar", "bar", CORRECT_TEXT, true},
      {"method", "method", CORRECT_TEXT, false},
      {"at", "taken_at", CORRECT_MOMENT, true},
      {"note", "note", CORRECT_TEXT, false}}},
    {"observation",
     "observations",
     "observation",
     CORRECT_BY_ROW,
     {{"word", "word", CORRECT_TEXT, true},
      {"ph", "value", CORRECT_NUMBER, true},
      {"at", "seen_at", CORRECT_MOMENT, false}}},
    {"portion",
     "portions",
     "specimen",
     CORRECT_BY_FIELD,
     {{"batch", "batch", CORRECT_BATCH, true},
      {"bar", "bar", CORRECT_TEXT, true},
      {"percent", "stated_concentration_pct", CORRECT_NUMBER, true}}},
    {"sitting", "sittings", "session", CORRECT_BY_FIELD, {{"note", "note", CORRECT_TEXT, false}}},
    {"batch",
     "batches",
     "batch",
     CORRECT_BY_FIELD,
     {{"code", "code", CORRECT_TEXT, false},
      {"title", "title", CORRECT_TEXT, false},
      {"poured", "made_on", CORRECT_DAY, true},
      {"role", "role", CORRECT_TEXT, true},
      {"reference", "reference", CORRECT_BATCH, true},
      {"note", "note", CORRECT_TEXT, false}}},
    {"line",
     "lines",
     "recipe_line",
     CORRECT_BY_RECIPE,
     {{"name", "name", CORRECT_TEXT, true},
      {"mass-g", "mass_g", CORRECT_NUMBER, true},
      {"purity", "purity_fraction", CORRECT_NUMBER, true}}},
    {"gear",
     "gear",
     "gear",
     CORRECT_BY_FIELD,
     {{"name", "name", CORRECT_TEXT, false},
      {"resolution-ph", "resolution_ph", CORRECT_NUMBER, true},
      {"accuracy-ph", "accuracy_ph", CORRECT_NUMBER, true},
      {"steps", "steps", CORRECT_TEXT, true},
      {"readability-g", "readability_g", CORRECT_NUMBER, true},
      {"resolution-c", "resolution_c", CORRECT_NUMBER, true},
      {"accuracy-c", "accuracy_c", CORRECT_NUMBER, true},
      {"buffer", "buffer", CORRECT_TEXT, false},
      {"expires", "expires_on", CORRECT_DAY, false},
      {"note", "note", CORRECT_TEXT, false},
      {NULL, "retired", CORRECT_FLAG, false},
      {NULL, "usual", CORRECT_FLAG, false}}},
    {"calibration",
     "calibrations",
     "calibration",
     CORRECT_BY_FIELD,
     {{"gear", "meter", CORRECT_GEAR, true},
      {"at", "taken_at", CORRECT_MOMENT, true},
      {"note", "note", CORRECT_TEXT, false},
      {NULL, "withdrawn", CORRECT_WORKED_OUT, true},
      {NULL, "slope_percent", CORRECT_WORKED_OUT, false},
      {NULL, "offset_mv", CORRECT_WORKED_OUT, false},
      {NULL, "verdict", CORRECT_WORKED_OUT, false},
      {NULL, "reason", CORRECT_WORKED_OUT, false}}},
    {"buffer",
     "buffers",
     "calibration_point",
     CORRECT_BY_FIELD,
     {{"buffer", "buffer", CORRECT_TEXT, true},
      {"temperature-c", "temperature_c", CORRECT_NUMBER, true},
      {"ph", "displayed_ph", CORRECT_NUMBER, true},
      {"mv", "potential_mv", CORRECT_NUMBER, true},
      {NULL, "table_ph", CORRECT_WORKED_OUT, false}}},
    {"plan",
     "plans",
     "plan_entry",
     CORRECT_BY_FIELD,
     {{"due", "due_on", CORRECT_DAY, false}, {"what", "what", CORRECT_TEXT, false}}},
    {.word = NULL},
};

const struct correctable *
correctable_find(const char *word)
{
    for (const struct correctable *record = correctables; record->word != NULL; record++)
        if (text_same(record->word, word))
            return record;
    return NULL;
}

const struct correctable *
correctable_of_table(const char *table)
{
    for (const struct correctable *record = correctables; record->word != NULL; record++)
        if (strcmp(record->table, table) == 0)
            return record;
    return NULL;
}

const struct correct_field *
correctable_field(const struct correctable *record, const char *column)
{
    for (size_t i = 0; i < CORRECT_FIELDS_MOST && record->fields[i].column != NULL; i++)
        if (strcmp(record->fields[i].column, column) == 0)
            return &record->fields[i];
    return NULL;
}

char *
correction_text(const struct correction *correction)
{
    const struct correct_field *field = correction->field;
    const char *name = field->option == NULL ? field->column : field->option;
    char *value = text_visible(correction->value == NULL ? "not stated" : correction->value);
    char *before = text_visible(correction->before == NULL ? "not stated" : correction->before), *text;

    if (strcmp(field->column, "withdrawn") == 0)
        text = text_format("%s %lld: withdrawn", correction->record->word, (long long)correction->number);
    else
        text = text_format("%s %lld: %s %s, before %s", correction->record->word,
                           (long long)correction->number, name, value, before);
    free(value);
    free(before);
    return text;
}

void
correction_clear(struct correction *correction)
{
    free(correction->before);
    free(correction->value);
    free(correction->why);
    free(correction->who);
    *correction = (struct correction){0};
}
