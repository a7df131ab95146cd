/* text.h - texts that grow, and texts as a person sees them.
 *
 * Rules
 * (1) Texts are UTF-8. What a person typed is kept as typed; it is made harmless where it is shown.
 * (2) Lengths are bytes, widths are columns on a terminal. */
#ifndef TEXT_H
#define TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

/* A growing text; zeroed is empty. `data` is owned and always ends in NUL once something was added. */
struct text {
    char *data;
    size_t length, capacity;
};

void text_add(struct text *text, const char *piece);
void text_add_bytes(struct text *text, const char *bytes, size_t length);
void text_addf(struct text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
void text_addv(struct text *text, const char *format, va_list arguments)
    __attribute__((format(printf, 2, 0)));

/* Room behind the text for `more` bytes and a NUL: the caller writes them and adds their number to length. */
char *text_room(struct text *text, size_t more);

/* The text so far, never NULL; lent until the next change. */
const char *text_of(const struct text *text);

/* Hand the text over; given: free() it. The struct is empty afterwards. */
char *text_take(struct text *text);
void text_clear(struct text *text);

/* printf into new memory; given: free() it. */
char *text_format(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* True when the bytes are well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates). */
bool text_is_utf8(const char *text);

/* The text as one harmless line: control characters (C0, C1, DEL), line separators, direction marks, what does not
 * show (soft hyphen, zero widths, fillers), what is no character at all (U+FFFE and its like) and broken UTF-8 become
 * visible escapes such as \n, \x1b or \u202e. Given: free() it. NULL gives an empty text. */
char *text_visible(const char *text);

/* The same for the character at `text`, which is not empty: adds it and gives the bytes it took. */
size_t text_add_visible(struct text *visible, const char *text);

/* True when these bytes, at least one, are the beginning of a character whose end is not among them. */
bool text_is_cut(const char *bytes, size_t length);

/* Columns that a harmless text takes on a terminal (combining marks 0, wide characters 2). */
size_t text_width(const char *text);

/* Bytes of the longest beginning that takes at most `columns` columns and ends on a whole character. */
size_t text_fit(const char *text, size_t columns);

/* Letters, digits and blanks of ASCII, in every locale: with ctype.h and strings.h the words, headings and names of a
 * notebook would mean something else in Turkish. No other file asks the locale what a letter is. */
bool text_is_digit(char byte);
bool text_is_letter(char byte);
bool text_is_blank(char byte);
char text_lower(char byte);
char text_upper(char byte);

/* Equal without regard to the case of ASCII letters; in the first `length` bytes, or up to the end. */
bool text_same(const char *a, const char *b);
bool text_same_start(const char *a, const char *b, size_t length);

/* A word as one types it on a command line: in quotes where a shell wants them, and what text_visible() would
 * escape as $'...' (bash, zsh and POSIX.1-2024). Given: free() it. */
char *text_as_typed(const char *word);

/* Beginning and end without blanks, in place. Gives the first character kept. */
char *text_trim(char *text);

/* Split a line into words in place, as a shell would: at blanks, with single or double quotes keeping a word
 * together; # begins a remark at the beginning of a word. `words` points into the line.
 * Gives the number of words, or `most` + 1 when there are more. */
size_t text_split_words(char *line, char **words, size_t most);

/* The candidate closest to `word` for a "did you mean": at most a third of its letters wrong (one at
 * least), upper and lower case alike; NULL when none is close. Lent from `candidates`. */
const char *text_nearest(const char *word, const char *const *candidates, size_t count);

#endif
