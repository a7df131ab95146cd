/* screen.h - the one way to a person's screen: whatever is written to it arrives as visible text.
 *
 * Rules
 * (1) Between a command and the screen lies a stream that lets line ends through and turns every other character
 *     that would not show as itself into the escapes of text_visible(): a name or a path from elsewhere can move no
 *     cursor, ring no bell and turn no direction, even where the code that prints it forgot about that.
 * (2) Colours are asked for with marks that are made anew for every run and that no foreign text can know. */
#ifndef SCREEN_H
#define SCREEN_H

#include <stdbool.h>
#include <stdio.h>

/* Colour around words that say the same by themselves. */
enum tone { TONE_PLAIN, TONE_GOOD, TONE_DOUBT, TONE_BAD, TONE_QUIET };
enum { TONES = TONE_QUIET + 1 };

struct screen;

/* Put a screen in front of a stream; `lines`: hand over every line at once.
 * ret_stream  lent until screen_close(): write to it */
struct screen *screen_open(FILE *behind, bool lines, FILE **ret_stream);

/* Hand over what is left and end. The stream behind stays open. Gives 0, or errno of the first write that failed. */
int screen_close(struct screen *screen);

/* From now on what is written is data for another program and passes unchanged. */
void screen_pass_data(struct screen *screen);

/* What to write for a tone; lent until screen_close(). */
const char *screen_tone(const struct screen *screen, enum tone tone);

/* What to write to begin the line anew, as a countdown does; lent as above. */
const char *screen_line_again(const struct screen *screen);

#endif
