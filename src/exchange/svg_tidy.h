/* svg_tidy.h - what gnuplot's SVG needs before a browser shows it. */
#ifndef SVG_TIDY_H
#define SVG_TIDY_H

/* The drawing with `title` as its only <title> (browsers show titles as tips, and screen readers read
 * them), without the name of its maker; with `id_prefix` not NULL as a bare <svg> element whose ids and
 * references begin with it and whose attributes are written as HTML wants them. Given: free() it. */
char *svg_tidy(const char *svg, const char *title, const char *id_prefix);

#endif
