/** After so long a person wants to know why there is nothing to see, ms. By judgement. */
export const patienceMs = 8000;
