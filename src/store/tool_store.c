/* tool_store.c - all gear and calibrations of a notebook. */
#include "tool_store.h"

#include <stdlib.h>

#include "calibration_store.h"
#include "gear_store.h"
#include "memory.h"
#include "store_internal.h"

static enum status
load(struct store *store, struct tools *tools, struct failure *failure)
{
    enum status status = gear_store_list(store, &tools->gear, &tools->gear_count, failure);

    if (status != STATUS_OK)
        return status;
    tools->meters = memory_new(tools->gear_count + 1, sizeof *tools->meters);
    for (size_t i = 0; status == STATUS_OK && i < tools->gear_count; i++) {
        struct meter_calibrations *meter = &tools->meters[tools->meter_count];

        if (tools->gear[i].kind != GEAR_METER)
            continue;
        meter->meter_id = tools->gear[i].id;
        status = calibration_store_list(store, meter->meter_id, &meter->calibrations, &meter->count, failure);
        tools->meter_count += status == STATUS_OK ? 1 : 0;
    }
    return status;
}

static void
release(void *kept)
{
    struct tools *tools = kept;

    for (size_t i = 0; i < tools->gear_count; i++)
        gear_clear(&tools->gear[i]);
    for (size_t i = 0; i < tools->meter_count; i++) {
        for (size_t k = 0; k < tools->meters[i].count; k++)
            calibration_clear(&tools->meters[i].calibrations[k]);
        free(tools->meters[i].calibrations);
    }
    free(tools->gear);
    free(tools->meters);
    free(tools);
}

enum status
tool_store_load(struct store *store, const struct tools **ret_tools, struct failure *failure)
{
    struct tools *tools = store->kept;
    enum status status;

    if (tools != NULL && store->kept_stale) {
        release(tools);
        store->kept = tools = NULL;
    }
    store->kept_stale = false;
    if (tools == NULL) {
        tools = memory_new(1, sizeof *tools);
        status = load(store, tools, failure);
        if (status != STATUS_OK) {
            release(tools);
            return status;
        }
        store->kept = tools;
        store->free_kept = release;
    }
    *ret_tools = tools;
    return STATUS_OK;
}

const struct meter_calibrations *
tools_of_meter(const struct tools *tools, int64_t meter_id)
{
    for (size_t i = 0; i < tools->meter_count; i++)
        if (tools->meters[i].meter_id == meter_id)
            return &tools->meters[i];
    return NULL;
}
