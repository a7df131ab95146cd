/* check.c - what every test does before its first behaviour. */
#include <gsl/gsl_errno.h>

void check_quiet_libraries(void);

/* GSL's default handler aborts; its return codes are what the program uses. */
void
check_quiet_libraries(void)
{
    gsl_set_error_handler_off();
}
