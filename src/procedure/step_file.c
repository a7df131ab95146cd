/* step_file.c - a procedure file: text to steps, with every mistake listed by its line. */
#include "step_file.h"

#include <ini.h>
#include <math.h>
#include <sodium.h>
#include <stdlib.h>
#include <string.h>

#include "file.h"
#include "memory.h"
#include "number.h"
#include "session.h"
#include "step_check.h"
#include "words.h"

enum { KEY_LONGEST = 40 };

enum section { SECTION_NONE, SECTION_PROCEDURE, SECTION_STEP, SECTION_IGNORED };

struct reader {
    const char *rest; /* what is not read yet */
    int line;
    bool continues; /* the line just read began with blanks, below a value of this section */
    bool has_value; /* a value stands above in this section */
    enum section section;
    struct procedure *procedure;
    struct step_marks marks;
    struct mistakes mistakes;
};

/* What a key's value may be, and where it goes. */
enum value_type { VALUE_TEXT, VALUE_LINES, VALUE_COMMAS, VALUE_NUMBER, VALUE_COUNT, VALUE_WORD, VALUE_UNIT };

struct key {
    const char *name;
    enum value_type type;
    size_t place; /* offset in struct procedure or struct step */
    double low, high;
    const char *const *words;
    size_t word_count;
};

static const char *const yes_words[] = {"no", "yes"};

#define IN_PROCEDURE(field) offsetof(struct procedure, field)
#define IN_STEP(field) offsetof(struct step, field)

static const struct key procedure_keys[PROCEDURE_KEYS] = {
    [PROCEDURE_TITLE] = {"title", VALUE_TEXT, IN_PROCEDURE(title), 0, 0, NULL, 0},
    [PROCEDURE_SUMMARY] = {"summary", VALUE_TEXT, IN_PROCEDURE(summary), 0, 0, NULL, 0},
    [PROCEDURE_APPLIES] = {"applies", VALUE_WORD, IN_PROCEDURE(subject), 0, 0, procedure_subject_words,
                           PROCEDURE_SUBJECTS},
    [PROCEDURE_FOLLOWS] = {"follows", VALUE_TEXT, IN_PROCEDURE(follows), 0, 0, NULL, 0},
    [PROCEDURE_CAUTIONS] = {"cautions", VALUE_LINES, IN_PROCEDURE(cautions), 0, 0, NULL, 0},
    [PROCEDURE_LIMIT] = {"limit_ph", VALUE_NUMBER, IN_PROCEDURE(limit_ph), 7, LIMIT_PH_USUAL, NULL, 0},
    [PROCEDURE_CLEAR] = {"clear_ph", VALUE_NUMBER, IN_PROCEDURE(clear_ph), 7, CLEAR_PH_YOUNG, NULL, 0},
    [PROCEDURE_USUAL_LOW] = {"usual_low_ph", VALUE_NUMBER, IN_PROCEDURE(usual_low_ph), 7, CLEAR_PH_YOUNG,
                             NULL, 0},
    [PROCEDURE_TEMPERATURE] = {"temperature_c", VALUE_NUMBER, IN_PROCEDURE(temperature_c), 15, 50, NULL, 0},
    [PROCEDURE_TEMPERATURE_TOLERANCE] = {"temperature_tolerance_c", VALUE_NUMBER,
                                         IN_PROCEDURE(temperature_tolerance_c), 0.1, 10, NULL, 0},
    [PROCEDURE_CONCENTRATION] = {"concentration_pct", VALUE_NUMBER, IN_PROCEDURE(concentration_pct), 0.5, 2,
                                 NULL, 0},
    [PROCEDURE_CONCENTRATION_TOLERANCE] = {"concentration_tolerance_pct", VALUE_NUMBER,
                                           IN_PROCEDURE(concentration_tolerance_pct), 0.001, 0.4, NULL, 0},
};

static const struct key step_keys[STEP_KEYS] = {
    [STEP_KIND] = {"kind", VALUE_WORD, IN_STEP(kind), 0, 0, step_kind_words, STEP_KINDS},
    [STEP_TEXT] = {"text", VALUE_TEXT, IN_STEP(text), 0, 0, NULL, 0},
    [STEP_CAUTION] = {"caution", VALUE_TEXT, IN_STEP(caution), 0, 0, NULL, 0},
    [STEP_FOLLOWS] = {"follows", VALUE_TEXT, IN_STEP(follows), 0, 0, NULL, 0},
    [STEP_SCOPE] = {"scope", VALUE_WORD, IN_STEP(scope), 0, 0, step_scope_words, STEP_SCOPES},
    [STEP_OPTIONAL] = {"optional", VALUE_WORD, IN_STEP(optional), 0, 0, yes_words, LENGTH(yes_words)},
    [STEP_RECORDING] = {"records", VALUE_WORD, IN_STEP(records), 0, 0, step_records_words, STEP_RECORDS},
    [STEP_TARGET] = {"target", VALUE_NUMBER, IN_STEP(target), 0, 100000, NULL, 0},
    [STEP_TOLERANCE] = {"tolerance", VALUE_NUMBER, IN_STEP(tolerance), 0, 100000, NULL, 0},
    [STEP_UNIT] = {"unit", VALUE_UNIT, 0, 0, 0, NULL, 0},
    [STEP_REPLICATES] = {"replicates", VALUE_COUNT, IN_STEP(replicates), 1, 20, NULL, 0},
    [STEP_DURATION] = {"duration_s", VALUE_COUNT, IN_STEP(duration_s), 1, CLOCK_DAY_S, NULL, 0},
    [STEP_CHOICES] = {"choices", VALUE_COMMAS, IN_STEP(choices), 0, 0, NULL, 0},
    [STEP_EXPECTED] = {"expected", VALUE_COMMAS, IN_STEP(expected), 0, 0, NULL, 0},
    [STEP_BUFFER] = {"buffer", VALUE_TEXT, IN_STEP(buffer), 0, 0, NULL, 0},
    [STEP_MEANINGS] = {"meanings", VALUE_LINES, IN_STEP(meanings), 0, 0, NULL, 0},
    [STEP_ROUND] = {"round", VALUE_TEXT, IN_STEP(round), 0, 0, NULL, 0},
};

static bool
blank(char character)
{
    return character == ' ' || character == '\t';
}

static struct step *
latest_step(struct reader *reader)
{
    return &reader->procedure->steps[reader->procedure->step_count - 1];
}

static void
begin_step(struct reader *reader, const char *key)
{
    struct procedure *procedure = reader->procedure;
    size_t length = strlen(key);

    reader->section = SECTION_IGNORED;
    if (length == 0 || length > KEY_LONGEST ||
        strspn(key, "abcdefghijklmnopqrstuvwxyz0123456789-") != length) {
        mistake_at(&reader->mistakes, reader->line,
                   "'%.60s' cannot name a step, allowed are 1 to %d small letters, digits and hyphens", key,
                   KEY_LONGEST);
        return;
    }
    if (procedure_step(procedure, key) != NULL) {
        mistake_at(&reader->mistakes, reader->line, "step '%s' stands here a second time, first in line %d",
                   key, procedure_step(procedure, key)->line);
        return;
    }
    if (procedure->step_count == STEP_FILE_STEPS_MOST) {
        mistake_at(&reader->mistakes, reader->line, "step '%s' is one too many, allowed are %d", key,
                   STEP_FILE_STEPS_MOST);
        return;
    }
    procedure->steps = memory_resize(procedure->steps, procedure->step_count + 1, sizeof *procedure->steps);
    procedure->steps[procedure->step_count++] = (struct step){.key = memory_copy(key),
                                                              .scope = STEP_SPECIMEN,
                                                              .target = NAN,
                                                              .tolerance = NAN,
                                                              .replicates = 1,
                                                              .line = reader->line};
    reader->marks.step_given[procedure->step_count - 1] = 0;
    reader->section = SECTION_STEP;
}

static void
begin_procedure(struct reader *reader)
{
    reader->section = SECTION_IGNORED;
    if (reader->marks.procedure_line != 0) {
        mistake_at(&reader->mistakes, reader->line, "[procedure] stands here a second time, first in line %d",
                   reader->marks.procedure_line);
        return;
    }
    if (reader->procedure->step_count > 0)
        mistake_at(&reader->mistakes, reader->line, "[procedure] comes before the first step");
    reader->marks.procedure_line = reader->line;
    reader->section = SECTION_PROCEDURE;
}

/* inih cuts long section names, takes what follows the bracket and does not tell of empty sections, so
 * headings are read here; `heading` begins with its bracket. */
static void
read_heading(struct reader *reader, char *heading)
{
    char *end = strchr(heading, ']'), *name = heading + 1;

    reader->has_value = false;
    reader->section = SECTION_IGNORED;
    if (end == NULL || text_trim(end + 1)[0] != '\0') {
        mistake_at(&reader->mistakes, reader->line,
                   "'%.60s' is no heading, expected [procedure] or [step KEY] alone on its line", heading);
        return;
    }
    *end = '\0';
    name = text_trim(name);
    if (strcmp(name, "procedure") == 0)
        begin_procedure(reader);
    else if (strncmp(name, "step", 4) == 0 && (name[4] == '\0' || blank(name[4])))
        begin_step(reader, text_trim(name + 4));
    else
        mistake_at(&reader->mistakes, reader->line,
                   "section '%.60s' is unknown, expected [procedure] or [step KEY]", name);
}

/* The name before the first = or :, or NULL when the line has neither; `line` is cut there. */
static char *
name_in(char *line)
{
    char *end = strpbrk(line, "=:");

    if (end == NULL)
        return NULL;
    *end = '\0';
    return text_trim(line);
}

static bool
is_key(const char *name)
{
    for (size_t i = 0; i < PROCEDURE_KEYS; i++)
        if (strcmp(name, procedure_keys[i].name) == 0)
            return true;
    for (size_t i = 0; i < STEP_KEYS; i++)
        if (strcmp(name, step_keys[i].name) == 0)
            return true;
    return false;
}

/* True when inih may have the line: it would drop or cut some of the others without a word. */
static bool
line_is_fine(struct reader *reader, const char *line)
{
    char copy[STEP_FILE_LINE_LONGEST + 1], *name;

    for (const char *semicolon = line; (semicolon = strchr(semicolon, ';')) != NULL; semicolon++) {
        if (semicolon == line || !blank(semicolon[-1]))
            continue;
        mistake_at(
            &reader->mistakes, reader->line,
            "a ';' behind a blank would begin a comment: put the comment on a line of its own, or leave "
            "out the blank");
        return false;
    }
    snprintf(copy, sizeof copy, "%s", line);
    name = name_in(copy);
    if (!reader->continues && name == NULL) {
        mistake_at(&reader->mistakes, reader->line, "'%.60s' has no '=', expected key = value", line);
        return false;
    }
    if (reader->continues && name != NULL && is_key(name)) {
        mistake_at(&reader->mistakes, reader->line,
                   "'%s' begins with blanks and so continues the value above: remove the blanks", name);
        return false;
    }
    return true;
}

/* Control characters and broken UTF-8; a tab is a blank. */
static bool
characters_are_fine(struct reader *reader, char *line)
{
    char *visible;
    bool fine;

    for (char *tab = line; (tab = strchr(tab, '\t')) != NULL;)
        *tab = ' ';
    visible = text_visible(line);
    fine = strcmp(visible, line) == 0;
    if (!fine)
        mistake_at(&reader->mistakes, reader->line, "control characters or broken UTF-8: '%.120s'", visible);
    free(visible);
    return fine;
}

/* Look at one line and leave in it what inih may have: nothing, when it has a mistake. */
static void
look_at_line(struct reader *reader, char *line)
{
    char *start = line + strspn(line, " \t");

    reader->continues = reader->has_value && start > line;
    if (!characters_are_fine(reader, line)) {
        line[0] = '\0';
    } else if (*start == '[') {
        char heading[STEP_FILE_LINE_LONGEST + 1];

        snprintf(heading, sizeof heading, "%s", start);
        read_heading(reader, heading);
        memcpy(line, "[x]", 4); /* so that inih knows that no value stands above */
    } else if (*start != '\0' && *start != ';' && *start != '#' && !line_is_fine(reader, start)) {
        line[0] = '\0';
    }
}

/* inih's reader: the next line, at most `size` - 1 bytes, or NULL at the end. */
static char *
next_line(char *line, int size, void *stream)
{
    struct reader *reader = stream;
    size_t length = strcspn(reader->rest, "\n"), end = length;

    if (*reader->rest == '\0')
        return NULL;
    reader->line++;
    if (end > 0 && reader->rest[end - 1] == '\r')
        end--;
    if (end > STEP_FILE_LINE_LONGEST || end + 1 > (size_t)size) {
        mistake_at(&reader->mistakes, reader->line,
                   "the line has %zu bytes, allowed are %d: go on in the next line, after blanks", end,
                   STEP_FILE_LINE_LONGEST);
        end = 0;
    }
    memcpy(line, reader->rest, end);
    line[end] = '\0';
    reader->rest += reader->rest[length] == '\n' ? length + 1 : length;
    look_at_line(reader, line);
    return line;
}

static void
set_text(struct reader *reader, char **text, const char *value)
{
    char *longer;

    if (*text == NULL || !reader->continues) {
        free(*text);
        *text = memory_copy(value);
        return;
    }
    longer = text_format("%s%s%s", *text, **text == '\0' ? "" : " ", value);
    free(*text);
    *text = longer;
}

static void
add_words(struct words *words, const char *value)
{
    char *copy = memory_copy(value), *rest = NULL;

    for (char *item = strtok_r(copy, ",", &rest); item != NULL; item = strtok_r(NULL, ",", &rest))
        if (text_trim(item)[0] != '\0')
            words_add(words, text_trim(item));
    free(copy);
}

static void
set_number(struct reader *reader, const struct key *key, void *place, const char *value)
{
    struct failure failure = {0};
    double number = NAN;

    if (number_parse_in(value, NUMBER_POINT_OR_COMMA, key->name, key->low, key->high, &number, &failure) !=
        STATUS_OK) {
        mistake_at(&reader->mistakes, reader->line, "%s", failure.text);
        return;
    }
    if (key->type == VALUE_NUMBER) {
        *(double *)place = number;
    } else if (number != floor(number)) {
        mistake_at(&reader->mistakes, reader->line, "%s is %g, expected a whole number", key->name, number);
    } else {
        *(int *)place = (int)number;
    }
}

static void
set_word(struct reader *reader, const struct key *key, void *place, const char *value)
{
    struct failure failure = {0};
    size_t index = 0;

    if (words_find(key->name, value, key->words, key->word_count, &index, &failure) == STATUS_OK)
        *(int *)place = (int)index; /* the enumerations begin at 0 and have the size of an int */
    else
        mistake_at(&reader->mistakes, reader->line, "%s", failure.text);
}

static void
set_value(struct reader *reader, const struct key *key, void *place, const char *value)
{
    _Static_assert(sizeof(enum step_kind) == sizeof(int), "words are stored as int");

    switch (key->type) {
    case VALUE_TEXT:
        set_text(reader, place, value);
        break;
    case VALUE_LINES:
        if (*value != '\0')
            words_add(place, value);
        break;
    case VALUE_COMMAS:
        add_words(place, value);
        break;
    case VALUE_NUMBER:
    case VALUE_COUNT:
        set_number(reader, key, place, value);
        break;
    case VALUE_WORD:
        set_word(reader, key, place, value);
        break;
    case VALUE_UNIT:
        /* Kept for the check of the whole step, because the kind may stand below it. */
        snprintf(reader->marks.unit[reader->procedure->step_count - 1], sizeof reader->marks.unit[0], "%s",
                 value);
        break;
    }
}

static void
unknown_key(struct reader *reader, const char *name, const struct key *keys, size_t count)
{
    const char *names[32], *nearest; /* the marks, a bit a key, allow no more */

    for (size_t i = 0; i < count; i++)
        names[i] = keys[i].name;
    nearest = text_nearest(name, names, count);
    if (nearest != NULL)
        mistake_at(&reader->mistakes, reader->line, "'%.60s' is unknown here, did you mean '%s'?", name,
                   nearest);
    else
        mistake_at(&reader->mistakes, reader->line, "'%.60s' is unknown here", name);
}

static void
read_key(struct reader *reader, const struct key *keys, size_t count, void *object, unsigned *given,
         const char *name, const char *value)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(name, keys[i].name) != 0)
            continue;
        if ((*given & 1U << i) != 0 && !reader->continues)
            mistake_at(&reader->mistakes, reader->line, "'%s' stands here a second time in its section",
                       name);
        else if (reader->continues && keys[i].type != VALUE_TEXT && keys[i].type != VALUE_LINES &&
                 keys[i].type != VALUE_COMMAS)
            mistake_at(&reader->mistakes, reader->line, "'%s' has one line, it cannot be continued", name);
        else
            set_value(reader, &keys[i], (char *)object + keys[i].place, value);
        *given |= 1U << i;
        return;
    }
    if (!reader->continues) /* its first line has been told already */
        unknown_key(reader, name, keys, count);
}

/* inih's handler: one value, or one more line of it. Gives 1, which means "go on". */
static int
take_value(void *user, const char *section, const char *name, const char *value)
{
    struct reader *reader = user;
    struct procedure *procedure = reader->procedure;

    (void)section;
    reader->has_value = true;
    if (reader->section == SECTION_PROCEDURE)
        read_key(reader, procedure_keys, PROCEDURE_KEYS, procedure, &reader->marks.procedure_given, name,
                 value);
    else if (reader->section == SECTION_STEP)
        read_key(reader, step_keys, STEP_KEYS, latest_step(reader),
                 &reader->marks.step_given[procedure->step_count - 1], name, value);
    else if (reader->section == SECTION_NONE && !reader->continues)
        mistake_at(&reader->mistakes, reader->line, "'%.60s' stands before the heading [procedure]", name);
    return 1;
}

static char *
name_of(const char *file)
{
    const char *slash = strrchr(file, '/'), *base = slash == NULL ? file : slash + 1;
    size_t length = strlen(base);

    if (length > 4 && strcmp(base + length - 4, ".ini") == 0)
        length -= 4;
    return text_format("%.*s", (int)length, base);
}

static void
hash_of(const char *text, char ret_hash[65])
{
    unsigned char bytes[crypto_generichash_BYTES];

    crypto_generichash(bytes, sizeof bytes, (const unsigned char *)text, strlen(text), NULL, 0);
    sodium_bin2hex(ret_hash, 65, bytes, sizeof bytes);
}

enum status
step_file_parse(const char *file, const char *text, struct procedure *ret_procedure, struct text *mistakes,
                struct failure *failure)
{
    struct procedure procedure = {.limit_ph = LIMIT_PH_USUAL,
                                  .clear_ph = NAN,
                                  .usual_low_ph = USUAL_LOW_PH,
                                  .temperature_c = REFERENCE_TEMPERATURE_C,
                                  .temperature_tolerance_c = TEMPERATURE_TOLERANCE_C,
                                  .concentration_pct = REFERENCE_CONCENTRATION_PCT,
                                  .concentration_tolerance_pct = CONCENTRATION_TOLERANCE_PCT};
    struct reader reader = {.rest = text, .procedure = &procedure, .mistakes = {file, mistakes, 0, ""}};

    if (strncmp(reader.rest, "\xef\xbb\xbf", 3) == 0)
        reader.rest += 3;
    if (strlen(text) > STEP_FILE_LARGEST) {
        mistake_at(&reader.mistakes, 1, "the file has more than %d bytes", STEP_FILE_LARGEST);
    } else if (ini_parse_stream(next_line, &reader, take_value, &reader) < 0) {
        return failure_set(failure, STATUS_SYSTEM, "cannot read '%s': out of memory", file);
    } else {
        step_check_all(&procedure, &reader.marks, &reader.mistakes);
    }
    if (reader.mistakes.count > 0) {
        procedure_clear(&procedure);
        if (reader.mistakes.count == 1)
            return failure_set(failure, STATUS_FORMAT, "%s", reader.mistakes.first);
        return failure_set(failure, STATUS_FORMAT, "%s (and %zu more mistakes in this file)",
                           reader.mistakes.first, reader.mistakes.count - 1);
    }
    procedure.name = name_of(file);
    procedure.source = memory_copy(text);
    hash_of(text, procedure.hash);
    *ret_procedure = procedure;
    return STATUS_OK;
}

enum status
step_file_read(const char *path, struct procedure *ret_procedure, struct text *mistakes,
               struct failure *failure)
{
    char *text = NULL;
    enum status status = file_read(path, STEP_FILE_LARGEST, &text, failure);

    if (status == STATUS_OK)
        status = step_file_parse(path, text, ret_procedure, mistakes, failure);
    free(text);
    return status;
}
