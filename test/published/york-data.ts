/** Pearson (1901) with the weights of York (1966): 1/u^2. Expected line to the digits of Reed and Williamson. */
export const pearsonYork = {
  x: [0.0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4],
  y: [5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5],
  ux: [1000, 1000, 500, 800, 200, 80, 60, 20, 1.8, 1].map((w) => 1 / Math.sqrt(w)),
  uy: [1, 1.8, 4, 8, 20, 20, 70, 70, 100, 500].map((w) => 1 / Math.sqrt(w)),
  expected: { intercept: 5.47991022403286, slope: -0.4805334074462 },
} as const;
