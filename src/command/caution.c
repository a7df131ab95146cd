/* caution.c - the cautions that stand beside results and instructions. */
#include "caution.h"

#include "listing.h"
#include "memory.h"

static const struct {
    enum caution caution;
    const char *text;
} lines[] = {
    {CAUTION_LYE, "Lye burns: gloves and goggles, and lye goes into water, never water into lye."},
    {CAUTION_ETHANOL,
     "Ethanol burns with a flame that is hard to see: no flame or glowing plate near it, fresh "
     "air, and warm it in a water bath only."},
    {CAUTION_HEAT, "Soap that is melted again spits and still holds lye: gloves, goggles, long sleeves."},
    {CAUTION_BAR, "Keep the bars off skin and out of mouths (never taste-test), away from children and pets, "
                  "and the batch held."},
};

void
caution_print(const struct context *context, unsigned cautions)
{
    fputs("\nCaution\n", context->out);
    for (size_t i = 0; i < LENGTH(lines); i++) {
        if ((cautions & lines[i].caution) == 0)
            continue;
        fputs("  ", context->out);
        listing_paragraph(context->out, context->width - 2, 2, lines[i].text);
    }
    fputs("  ", context->out);
    listing_paragraph(context->out, context->width - 2, 2,
                      "Local rules, and a licensed cosmetic safety assessor where they ask for one, decide "
                      "before anything is sold or given away.");
}
