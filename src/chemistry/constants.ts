/** Molar gas constant, J/(mol K), exact (SI 2019: Avogadro times Boltzmann constant). */
export const GAS_CONSTANT = 8.31446261815324;

/**
 * Standard acceleration of gravity, m/s2, exact (CGPM 1901). Used everywhere: that of a place differs by up to 0.3 %, and
 * with it 0.01 % of the amount of gas through a head of 4 %, 0.02 % through an altitude of 500 m.
 */
export const STANDARD_GRAVITY = 9.80665;

/** 0 °C in K, exact. */
export const CELSIUS_ZERO_K = 273.15;

/** Standard atmosphere, Pa, exact. */
export const STANDARD_ATMOSPHERE_PA = 101325;

/** Torr, Pa, exact: 1/760 of a standard atmosphere. */
export const PASCAL_PER_TORR = 101325 / 760;

/**
 * Molar masses, g/mol, from the abridged standard atomic weights of CIAAW 2021 (H 1.0080, C 12.011, N 14.007,
 * O 15.999, Na 22.990, Mg 24.305, S 32.06, Cl 35.45, K 39.098, Ca 40.078, I 126.90). The abridged values are from
 * memory; the intervals they stand for were seen at ciaaw.org.
 */
export const molarMass = {
  H2O2: 34.014,
  H2O: 18.015,
  O2: 31.998,
  KI: 165.998,
  NaI: 149.89,
  I2: 253.8,
  HCl: 36.458,
  H2SO4: 98.072,
  CH3COOH: 60.052,
  Mg: 24.305,
  CaCO3: 100.086,
  NaHCO3: 84.006,
} as const;
