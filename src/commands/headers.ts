/**
 * What a host should say with every answer. `npm start` does; for other hosts the build writes the same into `_headers`,
 * a file that several static hosts read. The page carries its own policy besides, in a meta element, so that it holds
 * where the host says nothing.
 */

/** Nothing inline, nothing remote, nothing evaluated; markup from text only through the policy in `trusted-types.ts`. */
export const pagePolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "media-src 'self' blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "require-trusted-types-for 'script'",
  'trusted-types default',
].join('; ');

/** The headers by name, in lower case. */
export const headers: Readonly<Record<string, string>> = {
  // Only a header can forbid frames.
  'content-security-policy': `${pagePolicy}; frame-ancestors 'none'`,
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  // The microphone hears calls; the camera reads QR codes, when asked.
  'permissions-policy': 'microphone=(self), camera=(self), screen-wake-lock=(self), geolocation=()',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
};

/** Names of built files have their content's hash in them: such a file never changes. */
export const neverChanges = 'public, max-age=31536000, immutable';

/** The text of `_headers`. */
export function headersFile(): string {
  const lines = Object.entries(headers).map(([name, value]) => `  ${name}: ${value}`);
  return ['/*', ...lines, '/assets/*', `  cache-control: ${neverChanges}`, ''].join('\n');
}
