import { z } from 'zod/mini';

/**
 * A number above zero and not above `most`. Not from the smallest number there is: 1e-320 mL becomes 0 in SI units, and
 * then what is divided by it throws. A billionth of any unit of a bench is far below what anybody measures.
 */
export const aboveZero = (most: number) => z.number().check(z.gte(1e-9), z.lte(most));
