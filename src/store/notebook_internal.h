/* notebook_internal.h - notebooks of another version than this program's, for tests. */
#ifndef NOTEBOOK_INTERNAL_H
#define NOTEBOOK_INTERNAL_H

#include "notebook.h"
#include "store_internal.h"

/* notebook_open() with another schema. */
enum status notebook_open_as(const char *path, enum store_mode mode, const struct store_schema *schema,
                             struct store **ret_store, struct notebook_news *ret_news,
                             struct failure *failure);

#endif
