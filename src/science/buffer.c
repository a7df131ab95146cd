/* buffer.c - pH standard buffers. */
#include "buffer.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "table_buffers.h"
#include "text.h"

/* Amounts: borax NBS 3.80 g/L (0.01 mol/kg); lime water is saturated at 25 degC, the excess stays behind. */
static const struct buffer buffers[] = {
    {"borax", "borax 0.01 mol/kg (pH 9.18 at 25 degC)",
     "dissolve 3.80 g pure borax (sodium tetraborate decahydrate) in boiled, cooled distilled water and make "
     "up to 1 litre; keep it stoppered, air lowers its pH; renew it every month",
     "borax harms unborn children and fertility when swallowed and irritates eyes: gloves and goggles, not "
     "in "
     "food dishes, away from children; local rules may restrict it"},
    {"calcium-hydroxide", "lime water, saturated calcium hydroxide (pH 12.45 at 25 degC)",
     "shake about 3 g pure calcium hydroxide (pickling lime) with 1 litre of boiled, cooled distilled water "
     "at 25 degC in a full, stoppered bottle, let it settle, pour off or filter the clear liquid; use it the "
     "same day, air turns it cloudy and spoils it",
     "lime water burns eyes and skin: gloves and goggles, add lime to water, do not breathe the powder, away "
     "from children; rinse splashes with much water at once"},
    {"carbonate", "sodium bicarbonate 0.025 + sodium carbonate 0.025 mol/kg (pH 10.01 at 25 degC)", NULL,
     NULL},
    {"citrate", "potassium dihydrogen citrate 0.05 mol/kg (pH 3.78 at 25 degC)", NULL, NULL},
    {"phosphate", "equimolar phosphate 0.025 + 0.025 mol/kg (pH 6.87 at 25 degC)", NULL, NULL},
    {"phosphate-1-3.5", "phosphate 0.008695 + 0.03043 mol/kg (pH 7.41 at 25 degC)", NULL, NULL},
    {"phthalate", "potassium hydrogen phthalate 0.05 mol/kg (pH 4.01 at 25 degC)", NULL, NULL},
    {"tartrate", "potassium hydrogen tartrate, saturated at 25 degC (pH 3.56 at 25 degC)", NULL, NULL},
    {"technical-10.01", "bought buffer pH 10.01 at 25 degC", NULL, NULL},
    {"technical-4.00", "bought buffer pH 4.00 at 25 degC", NULL, NULL},
    {"technical-7.00", "bought buffer pH 7.00 at 25 degC", NULL, NULL},
    {"tetroxalate", "potassium tetroxalate 0.05 mol/kg (pH 1.68 at 25 degC)", NULL, NULL},
};

/* What people write, after simplify(). */
static const struct {
    const char *alias, *name;
} aliases[] = {
    {"1.68", "tetroxalate"},
    {"3.56", "tartrate"},
    {"3.78", "citrate"},
    {"4", "technical-4.00"},
    {"4.0", "technical-4.00"},
    {"4.00", "technical-4.00"},
    {"4.01", "phthalate"},
    {"6.86", "phosphate"},
    {"6.87", "phosphate"},
    {"7", "technical-7.00"},
    {"7.0", "technical-7.00"},
    {"7.00", "technical-7.00"},
    {"7.41", "phosphate-1-3.5"},
    {"9.18", "borax"},
    {"10", "technical-10.01"},
    {"10.0", "technical-10.01"},
    {"10.00", "technical-10.01"},
    {"10.01", "technical-10.01"},
    {"12.45", "calcium-hydroxide"},
    {"borate", "borax"},
    {"lime", "calcium-hydroxide"},
    {"limewater", "calcium-hydroxide"},
    {"sodiumtetraborate", "borax"},
};

size_t
buffer_count(void)
{
    return LENGTH(buffers);
}

const struct buffer *
buffer_at(size_t index)
{
    return &buffers[index];
}

const char *
buffer_everyday_name(const char *name)
{
    static const char *const pairs[][2] = {
        {"calcium-hydroxide", "lime water"},
        {"technical-4.00", "pH 4.00"},
        {"technical-7.00", "pH 7.00"},
        {"technical-10.01", "pH 10.01"},
    };

    for (size_t i = 0; i < LENGTH(pairs); i++)
        if (strcmp(pairs[i][0], name) == 0)
            return pairs[i][1];
    return name;
}

/* Remove every `word` from `text`, in place. */
static void
drop(char *text, const char *word)
{
    size_t length = strlen(word);

    for (char *at = strstr(text, word); at != NULL; at = strstr(at, word))
        memmove(at, at + length, strlen(at + length) + 1);
}

/* Rule 2: what remains of a name when nothing that does not matter is left. */
static void
simplify(const char *name, char simple[64])
{
    size_t used = 0;

    for (; *name != '\0' && used < 63; name++) {
        char letter = text_lower(*name);

        if (strchr(" -_\t", letter) == NULL)
            simple[used++] = letter == ',' ? '.' : letter;
    }
    simple[used] = '\0';
    drop(simple, "buffer");
    drop(simple, "technical");
    if (strncmp(simple, "ph", 2) == 0 && (simple[2] == '\0' || text_is_digit(simple[2])))
        drop(simple, "ph");
}

static const struct buffer *
find_exact(const char *name)
{
    for (size_t i = 0; i < LENGTH(buffers); i++) {
        if (strcmp(buffers[i].name, name) == 0)
            return &buffers[i];
    }
    return NULL;
}

static const struct buffer *
find_simple(const char *simple)
{
    char other[64];

    for (size_t i = 0; i < LENGTH(aliases); i++) {
        if (strcmp(aliases[i].alias, simple) == 0)
            return find_exact(aliases[i].name);
    }
    for (size_t i = 0; i < LENGTH(buffers); i++) {
        simplify(buffers[i].name, other);
        if (strcmp(other, simple) == 0)
            return &buffers[i];
    }
    return NULL;
}

static enum status
not_found(const char *name, struct failure *failure)
{
    static const char *const common[] = {"lime water", "lime"};
    const char *names[LENGTH(buffers) + LENGTH(common)];
    const char *nearest;
    char *shown = text_visible(name);

    for (size_t i = 0; i < LENGTH(buffers); i++)
        names[i] = buffers[i].name;
    for (size_t i = 0; i < LENGTH(common); i++)
        names[LENGTH(buffers) + i] = common[i];
    nearest = text_nearest(name, names, LENGTH(names));
    if (nearest != NULL)
        failure_set(failure, STATUS_MISSING,
                    "there is no buffer '%.40s'; did you mean '%s'? (curetrace calibrate --how-to lists all)",
                    shown, nearest);
    else
        failure_set(failure, STATUS_MISSING,
                    "there is no buffer '%.40s'; there is borax, lime water, pH 7.00 and more (curetrace "
                    "calibrate --how-to lists all)",
                    shown);
    free(shown);
    return failure->status;
}

enum status
buffer_find(const char *name, const struct buffer **ret_buffer, struct failure *failure)
{
    char simple[64] = "";
    const struct buffer *buffer = find_exact(name); /* as the notebook has it: every reading asks for it */

    if (buffer == NULL && strlen(name) < sizeof simple) {
        simplify(name, simple);
        buffer = find_simple(simple);
    }
    if (buffer == NULL)
        return not_found(name, failure);
    *ret_buffer = buffer;
    return STATUS_OK;
}

/* The rows of one buffer that are used, which stand together and rise in temperature. */
static const struct buffer_row *
rows_of(const struct buffer *buffer, size_t *ret_length)
{
    const struct buffer_row *first = NULL;

    *ret_length = 0;
    for (size_t i = 0; i < table_buffers_length; i++) {
        const struct buffer_row *row = &table_buffers[i];

        if (strcmp(row->buffer, buffer->name) != 0 || strcmp(row->role, "use") != 0)
            continue;
        if (first == NULL)
            first = row;
        ++*ret_length;
    }
    assert(first != NULL); /* a buffer is one of the table */
    return first;
}

void
buffer_range(const struct buffer *buffer, double *ret_low_c, double *ret_high_c)
{
    size_t length;
    const struct buffer_row *rows = rows_of(buffer, &length);

    *ret_low_c = rows[0].temperature_c;
    *ret_high_c = rows[length - 1].temperature_c;
}

const char *
buffer_source(const struct buffer *buffer)
{
    size_t length;

    return rows_of(buffer, &length)->source;
}

enum status
buffer_ph(const struct buffer *buffer, double temperature_c, double *ret_ph, struct failure *failure)
{
    size_t length, upper = 1;
    const struct buffer_row *rows = rows_of(buffer, &length);
    double fraction;

    if (!(temperature_c >= rows[0].temperature_c && temperature_c <= rows[length - 1].temperature_c))
        return failure_set(failure, STATUS_RANGE, "pH of buffer %s is known from %g to %g degC, not at %g",
                           buffer->name, rows[0].temperature_c, rows[length - 1].temperature_c,
                           temperature_c);
    while (rows[upper].temperature_c < temperature_c)
        upper++;
    fraction = (temperature_c - rows[upper - 1].temperature_c) /
               (rows[upper].temperature_c - rows[upper - 1].temperature_c);
    *ret_ph = rows[upper - 1].ph + fraction * (rows[upper].ph - rows[upper - 1].ph);
    return STATUS_OK;
}

enum status
buffer_uncertainty(const struct buffer *buffer, bool kitchen_made, double *ret_u_ph, struct failure *failure)
{
    if (kitchen_made && buffer->how_to == NULL)
        return failure_set(failure, STATUS_CONFLICT,
                           "buffer %s cannot be made in a kitchen; borax and calcium-hydroxide can",
                           buffer->name);
    *ret_u_ph = kitchen_made ? 0.02 : 0.01;
    return STATUS_OK;
}
