/* clock.h - dates and times as the clock on the kitchen wall shows them.
 *
 * Rules
 * (1) A moment is civil (local) time without a zone, as a maker would write it down. The age of a batch is
 *     counted in days, so the hour that summer time takes or gives does not matter.
 * (2) Text is ISO 8601: 2026-03-04, 2026-03-04T10:00 or 2026-03-04T10:00:30; a blank may stand for T. */
#ifndef CLOCK_H
#define CLOCK_H

#include <stdbool.h>
#include <stdint.h>

#include "status.h"

enum { CLOCK_DAY_S = 86400 };

typedef int32_t civil_day;  /* days since 1970-01-01 */
typedef int64_t civil_time; /* civil seconds since 1970-01-01T00:00:00 */

#define DAY_NONE INT32_MIN
#define MOMENT_NONE INT64_MIN

enum { DAY_TEXT_SIZE = 16, MOMENT_TEXT_SIZE = 32 };

/* Years 1900 to 2999. STATUS_FORMAT ("'2026-02-30' is not a date, expected YYYY-MM-DD"). */
enum status clock_parse_day(const char *text, civil_day *ret_day, struct failure *failure);

/* A date alone is its first second. STATUS_FORMAT as above. */
enum status clock_parse_moment(const char *text, civil_time *ret_moment, struct failure *failure);

/* The day of a year, month (1 to 12) and date; false, and nothing set, when the calendar from 1900 to 2999 has none. */
bool clock_day_from(int year, int month, int date, civil_day *ret_day);

/* "2026-03-04"; empty for DAY_NONE. Gives `text`. */
const char *clock_day_text(civil_day day, char text[DAY_TEXT_SIZE]);

/* "2026-03-04T10:00", with seconds only when they are not 0; empty for MOMENT_NONE. Gives `text`. */
const char *clock_moment_text(civil_time moment, char text[MOMENT_TEXT_SIZE]);

/* The day of a moment; DAY_NONE for MOMENT_NONE. */
civil_day clock_day_of(civil_time moment);

/* Days and their part from one moment to another; negative when it is the other way round. */
double clock_days_between(civil_time from, civil_time to);

/* Local time now, by the system's clock and zone. Called by main.c, and by the journal for
 * the moment of a write; everyone else is told. */
civil_time clock_now(void);

#endif
