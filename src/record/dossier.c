/* dossier.c - everything the notebook holds about one batch. */
#include "dossier.h"

#include <stdlib.h>

#include "memory.h"
#include "text.h"

/* One finder a kind; the arrays are short, so a walk through them is fast enough. */
const struct session *
dossier_session(const struct dossier *dossier, int64_t id)
{
    for (size_t i = 0; i < dossier->session_count; i++)
        if (dossier->sessions[i].id == id)
            return &dossier->sessions[i];
    return NULL;
}

const struct session *
dossier_unfinished(const struct dossier *dossier)
{
    for (size_t i = dossier->session_count; i-- > 0;)
        if (dossier->sessions[i].procedure_id != 0 && dossier->sessions[i].finished_at == MOMENT_NONE)
            return &dossier->sessions[i];
    return NULL;
}

const struct specimen *
dossier_specimen(const struct dossier *dossier, int64_t id)
{
    for (size_t i = 0; i < dossier->specimen_count; i++)
        if (dossier->specimens[i].id == id)
            return &dossier->specimens[i];
    return NULL;
}

const struct gear *
dossier_gear(const struct dossier *dossier, int64_t id)
{
    for (size_t i = 0; i < dossier->gear_count; i++)
        if (dossier->gear[i].id == id)
            return &dossier->gear[i];
    return NULL;
}

const struct calibration *
dossier_calibration(const struct dossier *dossier, int64_t id)
{
    for (size_t i = 0; i < dossier->calibration_count; i++)
        if (dossier->calibrations[i].id == id)
            return &dossier->calibrations[i];
    return NULL;
}

const struct state_change *
dossier_last_change(const struct dossier *dossier)
{
    return dossier->state_change_count == 0 ? NULL : &dossier->state_changes[dossier->state_change_count - 1];
}

bool
dossier_released_by_override(const struct dossier *dossier)
{
    const struct state_change *last = dossier_last_change(dossier);

    return dossier->batch.state == BATCH_RELEASED && last != NULL && last->overridden;
}

bool
dossier_released_by_old_rule(const struct dossier *dossier)
{
    const struct state_change *last = dossier_last_change(dossier);

    return dossier->batch.state == BATCH_RELEASED && last != NULL && last->rule < STATE_RULE_NOW;
}

civil_time
state_change_since(const struct state_change *change)
{
    return change->since_at == 0 ? change->at : change->since_at;
}

char *
state_change_since_text(const struct state_change *change)
{
    civil_day since = clock_day_of(state_change_since(change)), kept = clock_day_of(change->at);
    char day[DAY_TEXT_SIZE], kept_day[DAY_TEXT_SIZE];

    return since == kept
               ? memory_copy(clock_day_text(since, day))
               : text_format("%s (kept on %s)", clock_day_text(since, day), clock_day_text(kept, kept_day));
}

void
state_change_clear(struct state_change *change)
{
    free(change->why);
    free(change->evidence);
    *change = (struct state_change){0};
}

void
plan_entry_clear(struct plan_entry *entry)
{
    free(entry->what);
    free(entry->why);
    *entry = (struct plan_entry){0};
}

void
recipe_revision_clear(struct recipe_revision *revision)
{
    for (size_t i = 0; i < revision->line_count; i++)
        recipe_line_clear(&revision->lines[i]);
    free(revision->lines);
    free(revision->why);
    *revision = (struct recipe_revision){0};
}

static void
clear_tools(struct dossier *dossier)
{
    for (size_t i = 0; i < dossier->gear_count; i++)
        gear_clear(&dossier->gear[i]);
    for (size_t i = 0; i < dossier->calibration_count; i++)
        calibration_clear(&dossier->calibrations[i]);
    free(dossier->gear);
}

void
dossier_clear(struct dossier *dossier)
{
    batch_clear(&dossier->batch);
    for (size_t i = 0; i < dossier->session_count; i++)
        session_clear(&dossier->sessions[i]);
    for (size_t i = 0; i < dossier->specimen_count; i++)
        specimen_clear(&dossier->specimens[i]);
    for (size_t i = 0; i < dossier->reading_count; i++)
        reading_clear(&dossier->readings[i]);
    for (size_t i = 0; i < dossier->weighing_count; i++)
        weighing_clear(&dossier->weighings[i]);
    for (size_t i = 0; i < dossier->answer_count; i++)
        answer_clear(&dossier->answers[i]);
    for (size_t i = 0; i < dossier->observation_count; i++)
        observation_clear(&dossier->observations[i]);
    for (size_t i = 0; i < dossier->used_up_count; i++)
        used_up_clear(&dossier->used_up[i]);
    for (size_t i = 0; i < dossier->revision_count; i++)
        recipe_revision_clear(&dossier->revisions[i]);
    if (!dossier->tools_lent)
        clear_tools(dossier);
    for (size_t i = 0; i < dossier->titration_count; i++)
        titration_clear(&dossier->titrations[i]);
    for (size_t i = 0; i < dossier->state_change_count; i++)
        state_change_clear(&dossier->state_changes[i]);
    for (size_t i = 0; i < dossier->plan_entry_count; i++)
        plan_entry_clear(&dossier->plan_entries[i]);
    for (size_t i = 0; i < dossier->correction_count; i++)
        correction_clear(&dossier->corrections[i]);
    free(dossier->corrections);
    free(dossier->sessions);
    free(dossier->specimens);
    free(dossier->readings);
    free(dossier->weighings);
    free(dossier->answers);
    free(dossier->observations);
    free(dossier->used_up);
    batch_close_clear(&dossier->closed);
    free(dossier->revisions);
    free(dossier->calibrations);
    free(dossier->titrations);
    free(dossier->state_changes);
    free(dossier->plan_entries);
    *dossier = (struct dossier){0};
}

int
dossier_age_d(const struct dossier *dossier, civil_time moment)
{
    return clock_day_of(moment) - dossier->batch.made_on;
}
