/* fuzz_step_file.c - a procedure file. */
#include <stdlib.h>

#include "fuzz.h"
#include "step_file.h"

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size);
    struct procedure procedure = {0};
    struct text mistakes = {0};
    struct failure failure = {0};
    enum status status = step_file_parse("fuzz.ini", text, &procedure, &mistakes, &failure);

    FUZZ_HOLDS(status == STATUS_OK || failure.text[0] != '\0');
    FUZZ_HOLDS((status == STATUS_OK) == (mistakes.length == 0));
    if (status == STATUS_OK)
        procedure_clear(&procedure);
    text_clear(&mistakes);
    free(text);
    return 0;
}
