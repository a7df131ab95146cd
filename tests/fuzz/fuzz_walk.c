/* fuzz_walk.c - whatever is typed at the questions of a test or a titration: kept or refused, and the notebook verifies.
 * The first byte says which walk. */
#include <stdlib.h>

#include "bench.h"
#include "fuzz.h"
#include "memory.h"

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const char *const walks[] = {
        "test W-07 --meter bench --paper strips --balance scale --thermometer probe",
        ("test W-07 P-01 --procedure soap-1pct-room --meter bench --paper strips --balance scale "
         "--thermometer probe"),
        "test W-07 --procedure paper-only --paper strips",
        "test W-07 --procedure free-alkali-titration --balance scale",
        "titrate W-07 --portions 2",
        "titrate W-07 --by-weight",
        "calibrate bench",
        "resume 6",
        "read W-07 --meter bench",
    };
    static const struct every_line verify = {"verify", NULL, false};
    struct kitchen *kitchen = bench_anew();
    char *typed = fuzz_text(size == 0 ? data : data + 1, size == 0 ? 0 : size - 1);
    const struct every_line line = {walks[size == 0 ? 0 : data[0] % LENGTH(walks)], typed, true};

    bench_run(kitchen, &line);
    FUZZ_HOLDS(bench_run(kitchen, &verify) == STATUS_OK);
    free(typed);
    return 0;
}
