/* schema.h - is the schema of a database, all of it, that of a released version? For the store room alone. */
#ifndef SCHEMA_H
#define SCHEMA_H

#include <stdbool.h>

#include "status.h"
#include "store_internal.h"

/* The schema of this program's own versions. */
struct store_schema schema_released(void);

/* What is not as `version` makes it, as in "trigger 'sly' does not belong there"; lent until the sink returns. */
typedef void schema_sink(const char *difference, void *payload);

/* Compare every table, index and trigger with those that the migrations up to `version` make (sql/schema.sql).
 *
 * ret_exact  true: nothing differs, and the sink was not called
 * STATUS_SYSTEM when the schema cannot be read. */
enum status schema_compare(struct store *store, int version, schema_sink *sink, void *payload,
                           bool *ret_exact, struct failure *failure);

#endif
