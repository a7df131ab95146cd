/* check.h - the only file that includes cmocka.h, and the checks it lacks.
 *
 * Use: static void behaviour(void **state) { ... check_close(value, expected, tolerance, source); }
 * and at the end: static const struct CMUnitTest tests[] = {cmocka_unit_test(behaviour)};
 * const struct check_module test_science_water = CHECK_MODULE("science/water", tests);
 * The modules of a room are one program (room.c.in); named on its command line, they run alone. */
#ifndef CHECK_H
#define CHECK_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "memory.h"
#include "status.h"

/* The value is a number within `tolerance` of `expected`; `source` says where that comes from. */
#define check_close(value, expected, tolerance, source)                                                      \
    check_close_at((value), (expected), (tolerance), (source), #value, __FILE__, __LINE__)

/* The call succeeded; otherwise its failure text is shown. */
#define check_ok(status, failure) check_status_at((status), STATUS_OK, (failure), #status, __FILE__, __LINE__)

/* The call was refused with this status. */
#define check_refused(status, expected, failure)                                                             \
    check_status_at((status), (expected), (failure), #status, __FILE__, __LINE__)

/* `text` contains `part`; otherwise the text is shown. */
#define check_contains(text, part) check_contains_at((text), (part), true, __FILE__, __LINE__)
#define check_lacks(text, part) check_contains_at((text), (part), false, __FILE__, __LINE__)

/* The tests of one module. */
struct check_module {
    const char *name; /* as in "science/water" */
    const struct CMUnitTest *tests;
    size_t count;
    int (*set_up)(void **state), (*tear_down)(void **state); /* around all of them; NULL: nothing to do */
};

#define CHECK_MODULE(module, of_it)                                                                          \
    {                                                                                                        \
        .name = (module), .tests = (of_it), .count = LENGTH(of_it)                                           \
    }

/* Run the modules named in `words`, or all; gives the number of tests that failed, and -1 for a name that is no module.
 * Between two modules nothing is put back: what one leaves in the process, the next one finds. */
int check_modules(const struct check_module *const *modules, size_t count, char *const *words);

static inline void
check_close_at(double value, double expected, double tolerance, const char *source, const char *what,
               const char *file, int line)
{
    if (fabs(value - expected) <= tolerance) /* false for NAN */
        return;
    print_error("%s is %.15g, expected %.15g within %g (%s)\n", what, value, expected, tolerance, source);
    _fail(file, line);
}

static inline void
check_status_at(enum status status, enum status expected, const struct failure *failure, const char *what,
                const char *file, int line)
{
    if (status == expected)
        return;
    print_error("%s gave status %d, expected %d: %s\n", what, (int)status, (int)expected, failure->text);
    _fail(file, line);
}

static inline void
check_contains_at(const char *text, const char *part, int wanted, const char *file, int line)
{
    if ((strstr(text, part) != NULL) == (wanted != 0))
        return;
    print_error("%s '%s' in:\n%s\n", wanted ? "missing" : "unwanted", part, text == NULL ? "" : text);
    _fail(file, line);
}

#endif
