/* gear_use.h - which gear of a kind is the usual one, and which is used no more. */
#ifndef GEAR_USE_H
#define GEAR_USE_H

#include "command.h"
#include "gear.h"

/* Make it the one that is meant when none of its kind is named; the one that was is it no more. In one transaction.
 * STATUS as correction_store_add(). */
enum status gear_use_default(struct context *context, const struct gear *gear, const char *why,
                             struct failure *failure);

#endif
