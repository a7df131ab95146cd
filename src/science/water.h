/* water.h - properties of pure, air-free water at 0.1 MPa. */
#ifndef WATER_H
#define WATER_H

#include "status.h"

/* Density of water.
 *
 * temperature_c         0 to 100 degrees Celsius, ends included
 * ret_density_g_per_ml  grams per millilitre; set only on STATUS_OK
 *
 * STATUS_RANGE when the temperature is outside that range or is not a number.
 * Source: to 40 degC M. Tanaka et al. (2001), Metrologia 38, 301-309, the five-constant formula,
 * doi:10.1088/0026-1394/38/4/3. Above, G. S. Kell (1975), J. Chem. Eng. Data 20, 97-105, equation 16
 * (constants from memory; the two agree within 6e-7 g/mL at 40 degC). */
enum status water_density(double temperature_c, double *ret_density_g_per_ml, struct failure *failure);

/* pKw = -log10 of the ion product of water (molal, both ions ideal) at any density.
 *
 * temperature_c     0 to 800 degrees Celsius
 * density_g_per_ml  above 0, to 1.25
 *
 * STATUS_RANGE outside.
 * Source: IAPWS R11-24, Revised Release on the Ionization Constant of H2O (2024), the equation and its
 * coefficients. */
enum status water_pkw_at_density(double temperature_c, double density_g_per_ml, double *ret_pkw,
                                 struct failure *failure);

/* pKw of liquid water at 0.1 MPa: water_pkw_at_density() with water_density().
 *
 * temperature_c  0 to 100 degrees Celsius. STATUS_RANGE outside. */
enum status water_pkw(double temperature_c, double *ret_pkw, struct failure *failure);

#endif
