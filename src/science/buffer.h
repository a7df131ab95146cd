/* buffer.h - pH standard buffers: their names, their pH by temperature, and two made in a kitchen.
 *
 * Rules
 * (1) The pH comes from published tables (reference/buffers.csv, rows with the role "use"), linear between
 *     two temperatures that stand there (at most 5 degC apart, which costs less than 0.001); outside the table
 *     there is no answer.
 * (2) A buffer has one name; people call it by many (pH 7.00, lime water). Case, blanks, hyphens and the
 *     words "buffer", "technical" and "pH" do not matter; a decimal comma is a point. */
#ifndef BUFFER_H
#define BUFFER_H

#include <stdbool.h>
#include <stddef.h>

#include "status.h"

struct buffer {
    const char *name;    /* "borax", "technical-7.00" */
    const char *title;   /* what it is, in words */
    const char *how_to;  /* how to make it in a kitchen, or NULL: buy it */
    const char *caution; /* what to mind while making it, or NULL */
};

/* All buffers, sorted by name; `index` from 0 to buffer_count() - 1. Lent for ever. */
size_t buffer_count(void);
const struct buffer *buffer_at(size_t index);

/* The buffer of that name (rule 2). Lent for ever.
 *
 * STATUS_MISSING when there is none; the text names the nearest one, and the command that lists all. */
enum status buffer_find(const char *name, const struct buffer **ret_buffer, struct failure *failure);

/* What people call it, for screens: "lime water", "pH 7.00"; a name that is not known is given back. Lent for
 * ever, or `name` itself. */
const char *buffer_everyday_name(const char *name);

/* First and last temperature of its table, and the source of the table. */
void buffer_range(const struct buffer *buffer, double *ret_low_c, double *ret_high_c);
const char *buffer_source(const struct buffer *buffer);

/* pH of the buffer at a temperature (rule 1).
 *
 * STATUS_RANGE outside the table or not a number; the text says the allowed range. */
enum status buffer_ph(const struct buffer *buffer, double temperature_c, double *ret_ph,
                      struct failure *failure);

/* Standard uncertainty of the pH of the buffer in the cup: 0.01 bought, 0.02 kitchen-made (common practice,
 * no source).
 *
 * STATUS_CONFLICT for a kitchen-made buffer that cannot be made in a kitchen. */
enum status buffer_uncertainty(const struct buffer *buffer, bool kitchen_made, double *ret_u_ph,
                               struct failure *failure);

#endif
