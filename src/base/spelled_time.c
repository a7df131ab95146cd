/* spelled_time.c - dates and times as people and spreadsheets write them. */
#include "spelled_time.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "text.h"

enum { FIRST_SERIAL = 32874 /* 1990-01-01 */, LAST_SERIAL = 73050 /* 2099-12-31 */ };
enum { SERIAL_OF_1970 = 25569 };

/* The names of each month. */
static const char *const months[12] = {
    "january januar janvier enero gennaio januari",
    "february februar février fevrier febrero febbraio februari",
    "march märz maerz mrz mars marzo maart mrt",
    "april avril abril aprile",
    "may mai mayo maggio mei",
    "june juni juin junio giugno",
    "july juli juillet julio luglio",
    "august août aout agosto augustus",
    "september septembre septiembre settembre",
    "october oktober octobre octubre ottobre",
    "november novembre noviembre",
    "december dezember décembre decembre diciembre dicembre",
};

static const char *
past_blanks(const char *text)
{
    return text + strspn(text, " ");
}

/* Up to `most` digits; NULL when there is none. */
static const char *
read_digits(const char *text, int most, int *ret_number, int *ret_digits)
{
    int digits = 0, number = 0;

    while (digits < most && text_is_digit(text[digits]))
        number = number * 10 + (text[digits++] - '0');
    *ret_number = number;
    *ret_digits = digits;
    return digits == 0 || text_is_digit(text[digits]) ? NULL : text + digits;
}

/* Is the word one of the names, or a beginning of one? */
static bool
among_names(const char *names, const char *word, size_t length)
{
    for (const char *name = names; *name != '\0'; name += strspn(name, " ")) {
        size_t whole = strcspn(name, " ");

        if (length <= whole && text_same_start(name, word, length))
            return true;
        name += whole;
    }
    return false;
}

/* A month's name with an optional full stop; NULL when it is none. */
static const char *
read_month(const char *text, int *ret_month)
{
    size_t length = 0;

    while (text_is_letter(text[length]) || (text[length] & 0x80) != 0)
        length++;
    for (int month = 0; length >= 3 && month < 12; month++) {
        if (among_names(months[month], text, length)) {
            *ret_month = month + 1;
            return text + length + (text[length] == '.' ? 1 : 0);
        }
    }
    return length == 4 && text_same_start(text, "sept", 4) ? (*ret_month = 9, text + 4) : NULL;
}

/* Rule 3. */
static const char *
read_year(const char *text, int *ret_year)
{
    int digits;
    const char *rest = read_digits(text, 4, ret_year, &digits);

    if (rest == NULL || (digits != 2 && digits != 4))
        return NULL;
    *ret_year += digits == 2 ? 2000 : 0;
    return rest;
}

/* Rule 5, behind the hour: minutes, seconds, and words. */
static int
finish_time(const char *text, int hour, int minute)
{
    int second = 0, digits;
    const char *rest = text;

    if (*rest == ':' && ((rest = read_digits(rest + 1, 2, &second, &digits)) == NULL || digits != 2))
        return -1;
    rest = past_blanks(rest);
    if (text_same(rest, "am") || text_same(rest, "a.m.") || text_same(rest, "pm") ||
        text_same(rest, "p.m.")) {
        if (hour < 1 || hour > 12)
            return -1;
        hour = hour % 12 + (text_lower(*rest) == 'p' ? 12 : 0);
    } else if (*rest != '\0' && !text_same(rest, "uhr") && !text_same(rest, "h")) {
        return -1;
    }
    return hour > 23 || minute > 59 || second > 59 ? -1 : hour * 3600 + minute * 60 + second;
}

int
spelled_time_of_day(const char *text)
{
    int hour, minute = 0, digits;
    const char *rest = read_digits(past_blanks(text), 2, &hour, &digits);

    if (rest == NULL)
        return -1;
    if (*rest == ' ' || *rest == '\0') /* an hour alone has a word behind it */
        return *past_blanks(rest) == '\0' ? -1 : finish_time(rest, hour, 0);
    if (strchr(":.h", text_lower(*rest)) == NULL)
        return finish_time(rest, hour, 0); /* "3pm" */
    rest = read_digits(rest + 1, 2, &minute, &digits);
    return rest == NULL || digits != 2 ? -1 : finish_time(rest, hour, minute);
}

/* What stands behind a date: nothing, or a time. False when it is neither. */
static bool
add_time(const char *rest, civil_time moment, civil_time *ret_moment, bool *ret_whole_day)
{
    const char *time = rest + strspn(rest, *rest == 'T' || *rest == ',' ? "T, " : " ");
    int seconds = 0;

    *ret_whole_day = *time == '\0';
    if (!*ret_whole_day) {
        if (time == rest)
            return false;
        seconds = spelled_time_of_day(time);
    }
    if (seconds < 0)
        return false;
    *ret_moment = moment + seconds;
    return true;
}

/* Note a date for one of the orders; a day that the calendar lacks is none. */
static void
note(struct spelled_time *spelled, int order, int year, int month, int date, const char *rest)
{
    civil_day day;

    spelled->moment[order] = MOMENT_NONE;
    if (clock_day_from(year, month, date, &day) &&
        !add_time(rest, (civil_time)day * CLOCK_DAY_S, &spelled->moment[order], &spelled->whole_day))
        spelled->moment[order] = MOMENT_NONE;
}

static bool
note_certain(struct spelled_time *spelled, int year, int month, int date, const char *rest)
{
    for (int order = 0; order < SPELLED_ORDERS; order++)
        note(spelled, order, year, month, date, rest);
    return spelled->moment[0] != MOMENT_NONE;
}

/* "2026-3-4", "2026/03/04", "20260304". */
static bool
read_year_first(const char *text, struct spelled_time *spelled)
{
    int year, month, date, digits;
    const char *rest = read_digits(text, 8, &year, &digits);
    char between;

    if (rest != NULL && digits == 8)
        return note_certain(spelled, year / 10000, year / 100 % 100, year % 100, rest);
    if (rest == NULL || digits != 4 || *rest == '\0' || strchr("-/.", *rest) == NULL)
        return false;
    between = *rest;
    rest = read_digits(rest + 1, 2, &month, &digits);
    if (rest == NULL || *rest != between)
        return false;
    rest = read_digits(rest + 1, 2, &date, &digits);
    return rest != NULL && note_certain(spelled, year, month, date, rest);
}

/* "15 Mar 2025", "15. März 25", "15-Mar-25" */
static bool
read_named_month(const char *text, struct spelled_time *spelled)
{
    int year, month, date, digits;
    const char *rest = read_digits(text, 2, &date, &digits);

    if (rest == NULL)
        return false;
    rest = read_month(rest + strspn(rest, ". -/"), &month);
    if (rest == NULL)
        return false;
    rest = read_year(rest + strspn(rest, ", -/"), &year);
    return rest != NULL && note_certain(spelled, year, month, date, rest);
}

/* "Mar 15, 2025" */
static bool
read_month_name_first(const char *text, struct spelled_time *spelled)
{
    int year, month, date, digits;
    const char *rest = read_month(text, &month);

    if (rest == NULL)
        return false;
    rest = read_digits(rest + strspn(rest, " -"), 2, &date, &digits);
    if (rest == NULL)
        return false;
    rest = read_year(rest + strspn(rest, ", -"), &year);
    return rest != NULL && note_certain(spelled, year, month, date, rest);
}

/* Rule 2. Blanks may follow the full stops: "15. 2. 2025". */
static bool
read_numbers(const char *text, struct spelled_time *spelled)
{
    int first, second, year, digits;
    const char *rest = read_digits(text, 2, &first, &digits);
    char between;

    if (rest == NULL || *rest == '\0' || strchr("./-", *rest) == NULL)
        return false;
    between = *rest;
    rest = read_digits(past_blanks(rest + 1), 2, &second, &digits);
    if (rest == NULL || *rest != between)
        return false;
    rest = read_year(past_blanks(rest + 1), &year);
    if (rest == NULL)
        return false;
    note(spelled, SPELLED_DAY_FIRST, year, second, first, rest);
    note(spelled, SPELLED_MONTH_FIRST, year, first, second, rest);
    return spelled->moment[0] != MOMENT_NONE || spelled->moment[1] != MOMENT_NONE;
}

/* Rule 4; the time is rounded to the second. */
static bool
read_day_number(const char *text, struct spelled_time *spelled)
{
    double number;
    struct failure ignored = {0};
    civil_time moment;

    if (strspn(text, "0123456789") != 5 ||
        number_parse(text, NUMBER_POINT_OR_COMMA, &number, &ignored) != STATUS_OK ||
        !(number >= FIRST_SERIAL && number < LAST_SERIAL + 1))
        return false;
    moment = (civil_time)((number - SERIAL_OF_1970) * CLOCK_DAY_S + 0.5);
    for (int order = 0; order < SPELLED_ORDERS; order++)
        spelled->moment[order] = moment;
    spelled->whole_day = strpbrk(text, ".,") == NULL;
    return true;
}

bool
spelled_time_certain(const struct spelled_time *spelled)
{
    return spelled->moment[SPELLED_DAY_FIRST] == spelled->moment[SPELLED_MONTH_FIRST];
}

bool
spelled_time_read(const char *text, bool day_numbers, struct spelled_time *ret_spelled)
{
    static bool (*const ways[])(const char *, struct spelled_time *) = {read_year_first, read_named_month,
                                                                        read_month_name_first, read_numbers};
    struct spelled_time spelled = {.whole_day = true};
    bool found = false;
    char *copy = memory_copy(text);
    const char *trimmed = text_trim(copy);

    for (size_t i = 0; !found && i < LENGTH(ways); i++)
        found = ways[i](trimmed, &spelled);
    if (!found && day_numbers)
        found = read_day_number(trimmed, &spelled);
    free(copy);
    if (found)
        *ret_spelled = spelled;
    return found;
}

/* "today", "yesterday 10:10" */
static bool
read_near_day(const char *text, civil_time now, struct spelled_time *ret_spelled)
{
    static const char *const words[] = {"today", "yesterday"};

    for (int days_ago = 0; days_ago < (int)LENGTH(words); days_ago++) {
        size_t length = strlen(words[days_ago]);
        civil_time day = (civil_time)(clock_day_of(now) - days_ago) * CLOCK_DAY_S,
                   *moment = ret_spelled->moment;

        if (!text_same_start(text, words[days_ago], length) ||
            !add_time(text + length, day, moment, &ret_spelled->whole_day))
            continue;
        if (ret_spelled->whole_day)
            *moment = day;
        moment[SPELLED_MONTH_FIRST] = moment[SPELLED_DAY_FIRST];
        return true;
    }
    return false;
}

static const char *
shown(civil_time moment, bool whole_day, char text[MOMENT_TEXT_SIZE])
{
    return whole_day ? clock_day_text(clock_day_of(moment), text) : clock_moment_text(moment, text);
}

static enum status
two_ways(const char *text, const struct spelled_time *spelled, struct failure *failure)
{
    char day_first[MOMENT_TEXT_SIZE], month_first[MOMENT_TEXT_SIZE];

    return failure_set(failure, STATUS_FORMAT, "'%.40s' can be read two ways: write %s or %s", text,
                       shown(spelled->moment[SPELLED_DAY_FIRST], spelled->whole_day, day_first),
                       shown(spelled->moment[SPELLED_MONTH_FIRST], spelled->whole_day, month_first));
}

enum status
spelled_time_typed(const char *text, civil_time now, civil_time *ret_moment, bool *ret_whole_day,
                   struct failure *failure)
{
    struct spelled_time spelled = {.whole_day = true};
    char *copy = memory_copy(text);
    const char *trimmed = text_trim(copy);
    bool found = read_near_day(trimmed, now, &spelled) || spelled_time_read(trimmed, false, &spelled);
    civil_time day_first = spelled.moment[SPELLED_DAY_FIRST],
               month_first = spelled.moment[SPELLED_MONTH_FIRST];
    bool stops = found && trimmed[strcspn(trimmed, "./-")] == '.';

    free(copy);
    if (!found)
        return failure_set(failure, STATUS_FORMAT,
                           "'%.40s' is not a date, expected YYYY-MM-DD as in 2026-03-02, 2.3.2026 or today",
                           text);
    if (day_first != MOMENT_NONE && month_first != MOMENT_NONE && day_first != month_first && !stops)
        return two_ways(text, &spelled, failure);
    *ret_moment = day_first != MOMENT_NONE ? day_first : month_first;
    *ret_whole_day = spelled.whole_day;
    return STATUS_OK;
}
