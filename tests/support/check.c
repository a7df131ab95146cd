/* check.c - the main of a room's tests. */
#include <gsl/gsl_errno.h>

#include "check.h"

static int
run(const struct check_module *module)
{
    return _cmocka_run_group_tests(module->name, module->tests, module->count, module->set_up,
                                   module->tear_down);
}

static const struct check_module *
named(const struct check_module *const *modules, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(modules[i]->name, name) == 0)
            return modules[i];
    return NULL;
}

int
check_modules(const struct check_module *const *modules, size_t count, char *const *words)
{
    int failed = 0;

    /* GSL's default handler aborts; its return codes are what the program uses. */
    gsl_set_error_handler_off();
    if (*words == NULL)
        for (size_t i = 0; i < count; i++)
            failed += run(modules[i]);
    for (; *words != NULL; words++) {
        const struct check_module *module = named(modules, count, *words);

        if (module == NULL) {
            print_error("no module is named '%s'\n", *words);
            return -1;
        }
        failed += run(module);
    }
    return failed;
}
