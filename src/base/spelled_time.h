/* spelled_time.h - dates and times as people and spreadsheets write them.
 *
 * Rules
 * (1) ISO 8601 and whatever begins with a year of four digits cannot be mistaken: "2026-03-04T10:00", "2026/3/4",
 *     "20260304". Neither can a month that is named: "15 Mar 2025", "15. März 2025", "15-Mar-25", "Mar 15, 2025"; names
 *     and their beginnings of three letters or more in English, German, French, Spanish, Italian and Dutch.
 * (2) "3.4.2026", "3/4/26" and "3-4-2026" are day first or month first: only one of the two may give a date, or
 *     both. Who knows more (the other rows of a file, the person at the prompt) decides.
 * (3) A year of two digits is 2000 to 2099.
 * (4) A number of five digits, with or without decimals, is a spreadsheet's count of days, in which 2000-01-01 is
 *     36526 (the 1900 system of OpenDocument and Office Open XML); days from 1990 to 2099 are taken. Only where it is
 *     asked for.
 * (5) A time follows after a blank, a comma or a T: "10:00", "9:05:30", "10.15", "10h15", "3:15 pm", "10:00 Uhr". */
#ifndef SPELLED_TIME_H
#define SPELLED_TIME_H

#include <stdbool.h>

#include "clock.h"

enum spelled_order { SPELLED_DAY_FIRST, SPELLED_MONTH_FIRST, SPELLED_ORDERS };

struct spelled_time {
    civil_time moment[SPELLED_ORDERS]; /* by the order it is read in; MOMENT_NONE: no date in that order */
    bool whole_day;                    /* no time was written; the moment is then the day's first second */
};

/* Both orders give the same: rule 1, rule 4, or 4.4.2026. */
bool spelled_time_certain(const struct spelled_time *spelled);

/* day_numbers  rule 4 holds
 * False when the text is no date in any order; ret_spelled is left alone then. */
bool spelled_time_read(const char *text, bool day_numbers, struct spelled_time *ret_spelled);

/* What a person typed at `now`: rules 1 to 3 and 5, and "today" and "yesterday", with a time behind them or without. With
 * full stops the day comes first. A date alone is its first second.
 *
 * ret_whole_day  no time was typed
 *
 * STATUS_FORMAT when it is no date, or one that can be read two ways; the text then names both. */
enum status spelled_time_typed(const char *text, civil_time now, civil_time *ret_moment, bool *ret_whole_day,
                               struct failure *failure);

/* A time of day alone: the forms of rule 5. Gives seconds since midnight, -1 when it is none. */
int spelled_time_of_day(const char *text);

#endif
