/* acid.c - dissociation constants by temperature. */
#include "acid.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "table_acid_constants.h"

static const struct {
    const char *name;
    int steps;
} acids[ACID_COUNT] = {
    [ACID_ACETIC] = {"acetic", 1}, [ACID_BORIC] = {"boric", 1},   [ACID_CARBONIC] = {"carbonic", 2},
    [ACID_CITRIC] = {"citric", 3}, [ACID_LACTIC] = {"lactic", 1}, [ACID_PHOSPHORIC] = {"phosphoric", 3},
};

/* Plummer and Busenberg (1982): a + b T + c/T + d log10 T + e/T^2, digits as printed. */
static const double log_kh[] = {108.3865, 0.01985076, -6919.53, -40.45154, 669365.0};
static const double log_k1[] = {-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0};
static const double log_k2[] = {-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9};

static const double gas_constant_j_per_mol_k = 8.314462618;

const char *
acid_name(enum acid acid)
{
    return acids[acid].name;
}

int
acid_steps(enum acid acid)
{
    return acids[acid].steps;
}

static double
plummer_busenberg(const double constants[5], double t_k)
{
    return constants[0] + constants[1] * t_k + constants[2] / t_k + constants[3] * log10(t_k) +
           constants[4] / (t_k * t_k);
}

static const struct acid_constant_row *
row_of(enum acid acid, int step)
{
    for (size_t i = 0; i < table_acid_constants_length; i++) {
        if (strcmp(table_acid_constants[i].acid, acids[acid].name) == 0 &&
            (int)table_acid_constants[i].step == step)
            return &table_acid_constants[i];
    }
    return NULL;
}

static enum status
check_temperature(double temperature_c, struct failure *failure)
{
    if (temperature_c >= 0.0 && temperature_c <= 60.0)
        return STATUS_OK;
    return failure_set(failure, STATUS_RANGE, "acid constants are known from 0 to 60 degC, not at %g",
                       temperature_c);
}

static double
van_t_hoff(const struct acid_constant_row *row, double t_k)
{
    double slope_k = 1000.0 * row->enthalpy_kj_per_mol / (gas_constant_j_per_mol_k * log(10.0));

    return row->pka_25c + slope_k * (1.0 / t_k - 1.0 / 298.15);
}

enum status
acid_pka(enum acid acid, int step, double temperature_c, double *ret_pka, struct failure *failure)
{
    const struct acid_constant_row *row = row_of(acid, step);
    double t_k = temperature_c + 273.15;

    assert(row != NULL);
    if (check_temperature(temperature_c, failure) != STATUS_OK)
        return failure->status;
    if (acid == ACID_CARBONIC)
        *ret_pka = -plummer_busenberg(step == 1 ? log_k1 : log_k2, t_k);
    else if (acid == ACID_LACTIC)
        *ret_pka = row->pka_25c + 5e-5 * (temperature_c - 22.5) * (temperature_c - 22.5);
    else
        *ret_pka = van_t_hoff(row, t_k);
    return STATUS_OK;
}

enum status
acid_log_henry_co2(double temperature_c, double *ret_log_kh, struct failure *failure)
{
    if (check_temperature(temperature_c, failure) != STATUS_OK)
        return failure->status;
    *ret_log_kh = plummer_busenberg(log_kh, temperature_c + 273.15);
    return STATUS_OK;
}
