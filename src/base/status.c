/* status.c - failure texts. */
#include "status.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum status
failure_set(struct failure *failure, enum status status, const char *format, ...)
{
    va_list arguments;

    failure->status = status;
    va_start(arguments, format);
    vsnprintf(failure->text, sizeof failure->text, format, arguments);
    va_end(arguments);
    return status;
}

enum status
failure_at(struct failure *failure, const char *format, ...)
{
    char text[sizeof failure->text];
    va_list arguments;
    size_t used;

    memcpy(text, failure->text, sizeof text);
    va_start(arguments, format);
    vsnprintf(failure->text, sizeof failure->text, format, arguments);
    va_end(arguments);
    used = strlen(failure->text);
    snprintf(failure->text + used, sizeof failure->text - used, "%s", text);
    return failure->status;
}

int
status_exit_code(enum status status)
{
    if (status == STATUS_OK)
        return 0;
    return status == STATUS_SYSTEM ? 1 : 2;
}
