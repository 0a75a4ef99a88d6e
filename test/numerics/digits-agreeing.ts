/** Digits in which two numbers agree: -log10 of the relative error (the LRE of NIST), at most 16. */
export function digitsAgreeing(computed: number, certified: number): number {
  if (computed === certified) return 16;
  return Math.min(16, -Math.log10(Math.abs(computed - certified) / (certified === 0 ? 1 : Math.abs(certified))));
}
