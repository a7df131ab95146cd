/* maker.c - who makes the soap, as the pages name them. */
#include "maker.h"

#include <stdlib.h>
#include <string.h>

#include "follow_store.h"

static const char name_setting[] = "maker name", contact_setting[] = "maker contact";

enum status
maker_load(struct store *store, struct maker *ret_maker, struct failure *failure)
{
    struct maker maker = {0};
    enum status status = setting_store_find(store, name_setting, &maker.name, failure);

    if (status == STATUS_OK)
        status = setting_store_find(store, contact_setting, &maker.contact, failure);
    if (status == STATUS_OK)
        *ret_maker = maker;
    else
        maker_clear(&maker);
    return status;
}

static enum status
set(struct store *store, const char *setting, const char *what, const char *value, civil_time at,
    struct failure *failure)
{
    if (value == NULL)
        return STATUS_OK;
    if (value[strspn(value, " \t\r\n")] == '\0' || strlen(value) > MAKER_TEXT_LONGEST)
        return failure_set(failure, STATUS_RANGE, "the %s has 1 to %d characters", what, MAKER_TEXT_LONGEST);
    return setting_store_set(store, setting, value, at, NULL, failure);
}

enum status
maker_set(struct store *store, const char *name, const char *contact, civil_time at, struct failure *failure)
{
    enum status status = set(store, name_setting, "maker's name", name, at, failure);

    if (status == STATUS_OK)
        status = set(store, contact_setting, "contact", contact, at, failure);
    return status;
}

void
maker_clear(struct maker *maker)
{
    free(maker->name);
    free(maker->contact);
    *maker = (struct maker){0};
}
