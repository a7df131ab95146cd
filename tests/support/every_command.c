/* every_command.c - command lines that together use every command. */
#include "every_command.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "file.h"
#include "text.h"

enum { MOST_WORDS = 64 };

const struct every_line every_lines[] = {
    {"batch add N-01 --made 2026-03-02 --reference P-01 --title new --fat 'olive oil=500' --lye "
     "naoh=64@98.5%",
     NULL, true},
    {"batch list", NULL, false},
    {"batch list --codes", NULL, false},
    {"batch show P-01", NULL, false},
    {"batch show W-07", NULL, false},
    {"batch hold P-01 --why 'a reason'", NULL, true},
    {"batch release W-07", NULL, true},
    {"batch release W-07 --override --why 'a reason'", NULL, true},
    {"maker", NULL, false},
    {"maker 'the old mill' --contact 01234", NULL, true},
    {"policy", NULL, false},
    {"policy --csv", NULL, false},
    {"policy cure-days 28 --why 'four weeks'", NULL, true},
    {"due --days 90", NULL, false},
    {"due --days 90 --csv", NULL, false},
    {"gear add new --kind buffer --buffer borax --note new", NULL, true},
    {"gear default bench", NULL, true},
    {"gear retire bottle --why empty", NULL, true},
    {"gear list", NULL, false},
    {"gear list --names", NULL, false},
    {"gear show bench", NULL, false},
    {"gear show strips", NULL, false},
    {"gear show scale", NULL, false},
    {"gear show probe", NULL, false},
    {"gear show bottle", NULL, false},
    {"calibrate bench --buffer borax@24=9.189 --buffer 'lime water@25=12.454' --note well", NULL, true},
    {"dilute --soap-g 1", NULL, false},
    {"dilute --soap-g 1 --balance scale", NULL, false},
    {"test W-07 --procedure paper-only --paper strips", "\ndistilled\nnear neutral\nnothing of it\n1.00\n",
     true},
    {"test --procedures", NULL, false},
    {"resume 6", "nothing of it\n1.00\n99.00\n", true},
    {"resume 7 --close --why 'went cold'", NULL, true},
    {"read W-07 --water distilled --meter bench --ph 9.65 --temperature-c 40 --percent 1 --bar A --note "
     "smooth",
     NULL, true},
    {"read P-01 --water distilled --bar B --paper strips --between 9..10", NULL, true},
    {"read P-01 --surface --paper strips --between 9..10", NULL, true},
    {"correct 2 --ph 9.66 --why 'digits turned'", NULL, true},
    {"correct 3 --withdraw --why 'another bar'", NULL, true},
    {"correct recipe P-01 --fat 'olive oil=500' --lye naoh=62@98.5% --acid 'citric acid, anhydrous=2' "
     "--water-g "
     "150 --other oats=3 --why 'wrote 60 for 62'",
     NULL, true},
    {"correct reading 4 --temperature-c 41 --why 'read the wrong line'", NULL, true},
    {"correct reading 5 --bar C --why 'mixed up' --by 'the maker'", NULL, true},
    {"correct titration 1 --volume-ml 0.9 --why 'misread the burette'", NULL, true},
    {"correct observation 1 --word deionised --why 'the other can'", NULL, true},
    {"correct portion 2 --percent 1.01 --why 'the note was on another page'", NULL, true},
    {"correct sitting 1 --note 'by the window' --why forgotten", NULL, true},
    {"correct batch P-01 --title plainer --poured 2026-03-01 --why 'the calendar says so'", NULL, true},
    {"correct batch W-07 --without reference --why 'another recipe'", NULL, true},
    {"correct line 5 --mass-g 61 --why 'wrote 60'", NULL, true},
    {"correct gear bench --accuracy-ph 0.03 --why 'the leaflet says so'", NULL, true},
    {"correct buffer 1 --ph 9.19 --why 'digits turned'", NULL, true},
    {"correct calibration 1 --withdraw --why 'another meter'", NULL, true},
    {"correct plan 2 --due 2026-08-01 --what titrate --why 'the harvest'", NULL, true},
    {"batch used-up W-07 --bar B --why 'nothing is left'", NULL, true},
    {"batch used-up W-07 --bar B --withdraw --why 'one is left'", NULL, true},
    {"batch close N-01 --reason 'thrown away'", NULL, true},
    {"batch close --all-before 2026-03-03 --reason sold --why market", NULL, true},
    {"batch close N-01 --withdraw --why 'still there'", NULL, true},
    {"titrate W-07 --show", NULL, false},
    {"titrate W-07 --soap-g 10 --volume-ml 1.0 --soap-g 10 --volume-ml 1.1 --acid-mol-l 0.1 --method "
     "dropwise",
     NULL, true},
    {"verdict P-01 W-07 L-01", NULL, false},
    {"verdict W-07 --all --budget", NULL, false},
    {"verdict W-07 --csv", NULL, false},
    {"recipe P-01", NULL, false},
    {"recipe W-07 --csv", NULL, false},
    {"rework L-01", NULL, false},
    {"rework L-01 --as R-01 --title again", NULL, true},
    {"expect 'citric acid 3 %'", NULL, false},
    {"trend P-01 W-07 L-01", NULL, false},
    {"trend P-01 W-07 L-01 --text", NULL, false},
    {"trend W-07 --csv", NULL, false},
    {"compare P-01 W-07 L-01", NULL, false},
    {"compare P-01 W-07 --csv", NULL, false},
    {"plan P-01 W-07", NULL, false},
    {"plan W-07 --enter", NULL, true},
    {"plan W-07 --drop 2 --why 'a reason'", NULL, true},
    {"import readings @/readings.csv --water distilled", NULL, true},
    {"import batches @/batches.csv", NULL, true},
    {"import gear @/gear.csv", NULL, true},
    {"import readings @/wide.csv --keep-mapping old --side-by-side portions", NULL, true},
    {"import readings @/wide.csv --mapping old --check", NULL, true},
    {"import calibrations @/calibrations.csv", NULL, true},
    {"import titrations @/titrations.csv --acid-mol-l 0.1", NULL, true},
    {"export @/export", NULL, false},
    {"import notebook @/export --notebook @/another.sqlite", NULL, true},
    {"backup @/copy.sqlite", NULL, false},
    {"report P-01 W-07 L-01 --output @/page.html", NULL, false},
    {"report P-01 W-07 --summary --output @/summary.html", NULL, false},
    {"report --notebook-index --output @/index.html", NULL, false},
    {"report --notebook-index --records --output @/index.html", NULL, false},
    {"batch discard L-01 --why 'a reason'", NULL, true},
    {"verify", NULL, false},
    {"demo @/demo", NULL, false},
};

size_t
every_line_count(void)
{
    return LENGTH(every_lines);
}

const struct command *
every_command_of(const struct every_line *line)
{
    for (size_t i = 0; command_table[i] != NULL; i++) {
        size_t length = strlen(command_table[i]->name);

        if (strncmp(line->line, command_table[i]->name, length) == 0 &&
            (line->line[length] == ' ' || line->line[length] == '\0'))
            return command_table[i];
    }
    fail_msg("there is no such command: %s", line->line);
    return NULL;
}

const char *
every_command_missing(bool writes)
{
    for (size_t i = 0; command_table[i] != NULL; i++) {
        bool found = writes && command_table[i]->needs != COMMAND_WRITES_STORE &&
                     command_table[i]->needs != COMMAND_CHANGES_STORE;

        for (size_t k = 0; k < LENGTH(every_lines) && !found; k++)
            found =
                every_command_of(&every_lines[k]) == command_table[i] && (!writes || every_lines[k].writes);
        if (!found)
            return command_table[i]->name;
    }
    return NULL;
}

static void
make_file(const struct kitchen *kitchen, const char *name, const char *text)
{
    char *path = file_join(kitchen->folder->path, name);
    struct failure failure = {0};

    check_ok(file_write(path, text, strlen(text), &failure), &failure);
    free(path);
}

void
every_command_furnish(struct kitchen *kitchen)
{
    static const char *const lines[] = {
        "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --note steady",
        "gear add strips --kind paper --steps 7,8,9,10,11,12 --note fresh",
        "gear add scale --kind balance --readability-g 0.01 --note level",
        "gear add probe --kind thermometer --resolution-c 0.1 --note thin",
        "gear add bottle --kind buffer --buffer borax --note opened",
        "batch add P-01 --made 2026-03-02 --title plain --role control --fat 'olive oil=500' --lye "
        "naoh=60@98.5% "
        "--other oats=3 --note first",
        "batch add W-07 --made 2026-03-02 --title oat --role variant --reference P-01 --fat 'olive oil=500' "
        "--lye naoh=60@98.5% --other oats=30 --note second",
        "batch add L-01 --made 2026-03-02 --title strong --role lye-heavy --fat 'olive oil=500' --lye "
        "naoh=75@98.5%",
        "calibrate bench --at 2026-05-01T09:30 --buffer borax@25=9.18 --buffer 'lime water@25=12.45' --note "
        "good",
        "read P-01 --water distilled --at 2026-03-20T10:00 --meter bench --ph 10.2 --ph 10.22 "
        "--temperature-c 40 --percent 1 "
        "--bar A "
        "--note smooth",
        "read P-01 --water distilled --at 2026-05-01T10:00 --meter bench --ph 9.7 --ph 9.72 --paper strips "
        "--between 8..9 "
        "--temperature-c 40 --percent 1 --bar A",
        "read W-07 --water distilled --at 2026-03-20T11:00 --meter bench --ph 10.1 --temperature-c 40 "
        "--percent 1",
        "read W-07 --water distilled --at 2026-05-01T11:00 --meter bench --ph 9.6 --ph 9.62 --temperature-c "
        "40 --percent 1 "
        "--bar B "
        "--note smooth",
        "read L-01 --water distilled --at 2026-05-01T12:00 --meter bench --ph 11.6 --temperature-c 40 "
        "--percent 1",
        "correct 1 --ph 10.21 --why misread",
        "titrate W-07 --at 2026-05-02T10:00 --soap-g 10 --volume-ml 1.0 --soap-g 10 --volume-ml 1.1 "
        "--acid-mol-l 0.1 "
        "--method pink --note slow",
        "batch hold P-01 --why waiting",
        "batch release P-01 --override --why enough",
        "policy ages 1 --why small",
        "plan W-07 --enter",
        "plan W-07 --drop 1 --why away",
    };

    for (size_t i = 0; i < LENGTH(lines); i++)
        kitchen_do(kitchen, lines[i]);
    assert_int_equal(kitchen_run_with(kitchen, "test P-01 --procedure paper-only --paper strips",
                                      "\ndistilled\nnear neutral\n"),
                     STATUS_OK);
    make_file(kitchen, "readings.csv",
              "batch,made_on,taken_at,ph,note\nI-01,2026-03-02,2026-05-03T10:00,9.7,carried\n");
    make_file(
        kitchen, "wide.csv",
        "Old book;;;;;;;;;\nbatch;made_on;taken_at;bar;ph 1;ph 2;strip;temperature_c;olive oil g;naoh g\n"
        "I-03;13.2.26;13.3.26;A;9,7;9,8;8-9;40;500;60\n");
    make_file(kitchen, "calibrations.csv",
              "meter,taken_at,borax,lime water,temperature_c,note\nbench,2026-03-12,9.18,12.45,25,carried\n");
    make_file(kitchen, "titrations.csv",
              "batch,taken_at,soap_mass_g,volume_ml,note\nW-07,2026-05-03,10,1.05,carried\n");
    make_file(kitchen, "batches.csv", "batch,made_on,title\nI-02,2026-03-02,carried\n");
    make_file(kitchen, "gear.csv", "name,kind,resolution_ph,note\nspare,meter,0.01,carried\n");
}

char *
every_command_word(const struct kitchen *kitchen, const char *word, const char *ending)
{
    static const char *const names[] = {"P-01",   "W-07",  "L-01",  "bench",
                                        "strips", "scale", "probe", "bottle"};

    if (*word == '@')
        return text_format("%s%s", kitchen->folder->path, word + 1);
    for (size_t i = 0; i < LENGTH(names); i++) {
        size_t length = strlen(names[i]);

        if (strncmp(word, names[i], length) == 0 && (word[length] == '\0' || word[length] == '/'))
            return text_format("%s%s%s", names[i], ending, word + length);
    }
    return memory_copy(word);
}

enum status
every_command_run(struct kitchen *kitchen, const struct every_line *line, const char *ending)
{
    char *copy = memory_copy(line->line), *words[MOST_WORDS + 1], *program = memory_copy("curetrace");
    size_t count = text_split_words(copy, words + 1, MOST_WORDS) + 1;
    enum status status;

    words[0] = program;
    for (size_t i = 1; i < count; i++)
        words[i] = every_command_word(kitchen, words[i], ending);
    status = kitchen_run_list(kitchen, words, count, line->input == NULL ? "" : line->input);
    for (size_t i = 0; i < count; i++)
        free(words[i]);
    free(copy);
    return status;
}
