/* A command judges each test portion once, and the reference's once more: counted where a portion is judged, which the
 * linker puts __wrap_verdict_by_meter() in front of. */
#include <stdlib.h>

#include "check.h"
#include "kitchen.h"
#include "memory.h"
#include "text.h"
#include "verdict_parts.h"

static _Atomic int judged;

enum status __real_verdict_by_meter(struct verdict *, struct reading_valuer *, size_t *, struct failure *);
enum status __wrap_verdict_by_meter(struct verdict *, struct reading_valuer *, size_t *, struct failure *);

enum status
__wrap_verdict_by_meter(struct verdict *verdict, struct reading_valuer *valuer, size_t *ret_count,
                        struct failure *failure)
{
    judged++;
    return __real_verdict_by_meter(verdict, valuer, ret_count, failure);
}

enum { OWN = 6, REFERENCE = 2 }; /* portions of W-01, and of its reference P-01 */

/* A reference read twice, and a batch read in six sittings of which the last but one is lye-heavy. */
static int
set_up(void **state)
{
    static const char *const lines[] = {
        "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02",
        "batch add P-01 --made 2026-03-02",
        "batch add W-01 --made 2026-03-02 --reference P-01 --fat \"olive oil=500\" --lye naoh=72@98.5% "
        "--water-g 150",
        "read P-01 --water distilled --meter bench --ph 10.21 --temperature-c 40 --percent 1.00 --at "
        "2026-03-09T10:00",
        "read P-01 --water distilled --meter bench --ph 9.91 --temperature-c 40 --percent 1.00 --at "
        "2026-04-09T10:00",
        "read W-01 --water distilled --meter bench --ph 10.31 --temperature-c 40 --percent 1.00 --at "
        "2026-03-09T11:00",
        "read W-01 --water distilled --meter bench --ph 10.22 --temperature-c 40 --percent 1.00 --at "
        "2026-03-16T11:00",
        "read W-01 --water distilled --meter bench --ph 10.14 --temperature-c 40 --percent 1.00 --at "
        "2026-03-23T11:00",
        "read W-01 --water distilled --meter bench --ph 10.05 --temperature-c 40 --percent 1.00 --at "
        "2026-03-30T11:00",
        "read W-01 --water distilled --meter bench --ph 11.71 --temperature-c 40 --percent 1.00 --at "
        "2026-04-05T11:00",
        "read W-01 --water distilled --meter bench --ph 9.98 --temperature-c 40 --percent 1.00 --at "
        "2026-04-06T11:00",
    };

    kitchen_open(state);
    for (size_t i = 0; i < LENGTH(lines); i++)
        kitchen_do(*state, lines[i]);
    judged = 0;
    return 0;
}

static void
each_portion_is_judged_once_a_command(void **state)
{
    static const struct {
        const char *line;
        int portions;
        bool writes; /* a page */
    } commands[] = {
        {"verdict W-01", OWN + REFERENCE, false},
        {"verdict W-01 --all", OWN + REFERENCE, false},
        {"verdict W-01 --csv --all", OWN + REFERENCE, false},
        {"verdict P-01", REFERENCE, false},
        {"trend W-01 --model", OWN + REFERENCE, false},
        {"trend W-01 --csv", 0, false}, /* the readings as they are */
        /* and W-01 once as what the maker's other cures say of P-01's */
        {"compare P-01 W-01", REFERENCE + OWN + REFERENCE + OWN, false},
        {"plan W-01", OWN + REFERENCE, false},
        {"rework W-01 --mass-g 700", OWN + REFERENCE, false},
        {"due", OWN + REFERENCE + REFERENCE, false}, /* every batch, each with its reference */
        {"report W-01", OWN + REFERENCE, true},
        {"report --notebook-index", OWN + REFERENCE + REFERENCE, true},
        {"batch hold P-01 --why \"to see\"", REFERENCE, false},
        {"batch release W-01 --override --why \"to see\"", OWN + REFERENCE, false},
        {"read W-01 --water distilled --meter bench --ph 9.97 --temperature-c 40 --percent 1.00 --at "
         "2026-04-07T11:00",
         OWN + 1 + REFERENCE, false},
    };

    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(commands); i++) {
        char *line = commands[i].writes
                         ? text_format("%s --output %s/page.html", commands[i].line, kitchen->folder->path)
                         : memory_copy(commands[i].line);

        judged = 0;
        kitchen_do(kitchen, line);
        free(line);
        if (judged != commands[i].portions)
            fail_msg("%s judges %d portions, not %d", commands[i].line, judged, commands[i].portions);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(each_portion_is_judged_once_a_command, set_up, kitchen_close),
};

const struct check_module test_casebook_judged_once = CHECK_MODULE("casebook/judged_once", tests);
