/* status.h - how every function of this program says that it could not do what was asked.
 *
 * Rules
 * (1) A function that can fail returns an enum status and takes a struct failure last.
 * (2) The text is written once, where the trouble is understood; callers add only the place.
 * (3) A result parameter is set on STATUS_OK and left alone otherwise. */
#ifndef STATUS_H
#define STATUS_H

enum status {
    STATUS_OK = 0,
    STATUS_USAGE,    /* the command line is wrong */
    STATUS_RANGE,    /* a number is outside what is known or allowed */
    STATUS_FORMAT,   /* a text is not what it should be */
    STATUS_MISSING,  /* something named does not exist */
    STATUS_CONFLICT, /* something exists already, or two things contradict each other */
    STATUS_SYSTEM    /* the operating system, the disk or the notebook failed */
};

/* What went wrong, in words for the person; the caller holds it, zeroed. */
struct failure {
    enum status status;
    char text[1024];
};

/* Write the text and give `status` back, so that it reads: return failure_set(failure, ...).
 * A text that is too long is cut. */
enum status failure_set(struct failure *failure, enum status status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Put a place before the text, as in "spring.csv:7: ", and give the failure's status back. */
enum status failure_at(struct failure *failure, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The exit status of the program: 0 for STATUS_OK, 1 for STATUS_SYSTEM, 2 for everything the
 * command line or the data given caused. */
int status_exit_code(enum status status);

#endif
