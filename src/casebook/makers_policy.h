/* makers_policy.h - the policy that the maker has set in the notebook. */
#ifndef MAKERS_POLICY_H
#define MAKERS_POLICY_H

#include "policy.h"
#include "store.h"

/* The defaults, and over them what the notebook's settings say. STATUS_SYSTEM; a setting that cannot be read is
 * refused as policy_set() does. */
enum status makers_policy(struct store *store, struct policy *ret_policy, struct failure *failure);

#endif
