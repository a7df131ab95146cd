/* clock.c - civil dates and times, proleptic Gregorian. */
#include "clock.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

#include "text.h"

static civil_day
day_from(int year, int month, int date)
{
    struct tm civil = {.tm_year = year - 1900, .tm_mon = month - 1, .tm_mday = date};

    return (civil_day)(timegm(&civil) / CLOCK_DAY_S);
}

static void
day_split(civil_day day, int *ret_year, int *ret_month, int *ret_date)
{
    time_t moment = (time_t)day * CLOCK_DAY_S;
    struct tm civil;

    gmtime_r(&moment, &civil);
    *ret_year = civil.tm_year + 1900;
    *ret_month = civil.tm_mon + 1;
    *ret_date = civil.tm_mday;
}

bool
clock_day_from(int year, int month, int date, civil_day *ret_day)
{
    int same_year, same_month, same_date;
    civil_day found;

    if (year < 1900 || year > 2999 || month < 1 || month > 12 || date < 1 || date > 31)
        return false;
    found = day_from(year, month, date);
    day_split(found, &same_year, &same_month, &same_date); /* 30 February comes back as 2 March */
    if (same_month != month || same_date != date)
        return false;
    *ret_day = found;
    return true;
}

static bool
digits(const char **text, int count, int *ret_number)
{
    int number = 0;

    for (int i = 0; i < count; i++) {
        char digit = (*text)[i];

        if (!text_is_digit(digit))
            return false;
        number = number * 10 + (digit - '0');
    }
    *text += count;
    *ret_number = number;
    return true;
}

static bool
sign(const char **text, char wanted)
{
    if (**text != wanted)
        return false;
    (*text)++;
    return true;
}

static bool
read_day(const char **text, civil_day *ret_day)
{
    int year, month, date;

    if (!digits(text, 4, &year) || !sign(text, '-') || !digits(text, 2, &month) || !sign(text, '-') ||
        !digits(text, 2, &date))
        return false;
    return clock_day_from(year, month, date, ret_day);
}

static bool
read_time(const char **text, int *ret_seconds)
{
    int hour, minute, second = 0;

    if (!digits(text, 2, &hour) || !sign(text, ':') || !digits(text, 2, &minute))
        return false;
    if (sign(text, ':') && !digits(text, 2, &second))
        return false;
    if (hour > 23 || minute > 59 || second > 59)
        return false;
    *ret_seconds = hour * 3600 + minute * 60 + second;
    return true;
}

enum status
clock_parse_day(const char *text, civil_day *ret_day, struct failure *failure)
{
    const char *rest = text;
    civil_day found;

    if (!read_day(&rest, &found) || *rest != '\0')
        return failure_set(failure, STATUS_FORMAT,
                           "'%.40s' is not a date, expected YYYY-MM-DD as in 2026-03-02", text);
    *ret_day = found;
    return STATUS_OK;
}

enum status
clock_parse_moment(const char *text, civil_time *ret_moment, struct failure *failure)
{
    const char *rest = text;
    int seconds = 0;
    civil_day found;

    if (!read_day(&rest, &found) ||
        (*rest != '\0' && ((!sign(&rest, 'T') && !sign(&rest, ' ')) || !read_time(&rest, &seconds))) ||
        *rest != '\0')
        return failure_set(failure, STATUS_FORMAT,
                           "'%.40s' is not a date and time, expected YYYY-MM-DDTHH:MM as in 2026-03-04T10:00",
                           text);
    *ret_moment = (civil_time)found * CLOCK_DAY_S + seconds;
    return STATUS_OK;
}

/* `count` digits with leading zeros; gives the place behind them. An import writes millions of dates. */
static char *
put(char *text, int count, int number)
{
    for (int i = count - 1; i >= 0; i--) {
        text[i] = (char)('0' + number % 10);
        number /= 10;
    }
    return text + count;
}

static char *
put_day(char *text, civil_day day)
{
    int year, month, date;

    day_split(day, &year, &month, &date);
    text = put(text, 4, year);
    *text++ = '-';
    text = put(text, 2, month);
    *text++ = '-';
    return put(text, 2, date);
}

const char *
clock_day_text(civil_day day, char text[DAY_TEXT_SIZE])
{
    text[0] = '\0';
    if (day != DAY_NONE)
        *put_day(text, day) = '\0';
    return text;
}

const char *
clock_moment_text(civil_time moment, char text[MOMENT_TEXT_SIZE])
{
    int seconds;
    char *end;

    text[0] = '\0';
    if (moment == MOMENT_NONE)
        return text;
    seconds = (int)(moment - (int64_t)clock_day_of(moment) * CLOCK_DAY_S);
    end = put_day(text, clock_day_of(moment));
    *end++ = 'T';
    end = put(end, 2, seconds / 3600);
    *end++ = ':';
    end = put(end, 2, seconds / 60 % 60);
    if (seconds % 60 != 0) {
        *end++ = ':';
        end = put(end, 2, seconds % 60);
    }
    *end = '\0';
    return text;
}

civil_day
clock_day_of(civil_time moment)
{
    if (moment == MOMENT_NONE)
        return DAY_NONE;
    return (civil_day)(moment >= 0 ? moment / CLOCK_DAY_S : -((-moment + CLOCK_DAY_S - 1) / CLOCK_DAY_S));
}

double
clock_days_between(civil_time from, civil_time to)
{
    return (double)(to - from) / CLOCK_DAY_S;
}

civil_time
clock_now(void)
{
    time_t now = time(NULL);
    struct tm local;

    localtime_r(&now, &local);
    return (civil_time)day_from(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday) * CLOCK_DAY_S +
           (civil_time)local.tm_hour * 3600 + (civil_time)local.tm_min * 60 +
           (local.tm_sec > 59 ? 59 : local.tm_sec);
}
