/* shelf.h - where procedures are kept, and finding one by name.
 *
 * Rules
 * (1) A name with a slash in it or with ".ini" at its end is a path.
 * (2) Other names are looked for in the maker's own folder ($XDG_CONFIG_HOME/curetrace/procedures) and
 *     then among those that came with the program; the maker's own comes first. */
#ifndef SHELF_H
#define SHELF_H

#include <stddef.h>

#include "procedure.h"
#include "text.h"

#define PROCEDURE_USUAL "soap-1pct-40c"

/* The folders in the order of rule 2; owned. */
struct shelf {
    struct words folders;
};

/* The usual folders; `shipped` is the one of rule 2's end, as file_shipped("procedures") gives it, or NULL.
 * What is not there does no harm. */
void shelf_init(struct shelf *shelf, const char *shipped);
void shelf_clear(struct shelf *shelf);

/* The file of a procedure. Given: free() it.
 * STATUS_MISSING; the text names the nearest one and says which there are. */
enum status shelf_find(const struct shelf *shelf, const char *name, char **ret_path, struct failure *failure);

/* Find and read it, see step_file_read(). */
enum status shelf_read(const struct shelf *shelf, const char *name, struct procedure *ret_procedure,
                       struct text *mistakes, struct failure *failure);

/* All names, sorted, each once; owned by the caller, words_clear(). */
void shelf_names(const struct shelf *shelf, struct words *ret_names);

#endif
