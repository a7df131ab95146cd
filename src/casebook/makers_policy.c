/* makers_policy.c - the policy that the maker has set in the notebook. */
#include "makers_policy.h"

#include <stdlib.h>

#include "follow_store.h"
#include "text.h"

enum status
makers_policy(struct store *store, struct policy *ret_policy, struct failure *failure)
{
    struct policy policy;
    enum status status = STATUS_OK;

    policy_init(&policy);
    for (size_t i = 0; status == STATUS_OK && i < POLICY_COUNT; i++) {
        char *name = text_format("policy %s", policy_name(i)), *value = NULL;

        status = setting_store_find(store, name, &value, failure);
        if (status == STATUS_OK && value != NULL)
            status = policy_set(&policy, policy_name(i), value, failure);
        free(value);
        free(name);
    }
    if (status == STATUS_OK)
        *ret_policy = policy;
    return status;
}
