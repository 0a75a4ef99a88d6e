/**
 * The page's policy demands that text becomes markup, or the address of a worker, through one policy only: this one. The
 * framework's templates are plain elements; anything that could run is refused, wherever it came from.
 */

interface TrustedTypes {
  createPolicy(
    name: string,
    rules: { createHTML(text: string): string; createScriptURL(address: string): string },
  ): unknown;
}

/** Elements and attributes that run or load something. */
const running =
  /<\s*\/?\s*(script|iframe|frame|object|embed|base|link|meta|style|svg[^>]*\shref)|[\s/"']on\w+\s*=|javascript:|srcdoc/i;

/** Markup as it is, when nothing in it can run. @throws TypeError otherwise */
export function plainMarkup(text: string): string {
  if (running.test(text)) throw new TypeError('Markup that can run is not taken.');
  return text;
}

/**
 * The address of a script of this app.
 * @param base address of the app
 * @throws TypeError for any other
 */
export function ownScript(address: string, base: string): string {
  const { origin, pathname, href } = new URL(address, base);
  const folder = new URL('.', base);
  if (origin !== folder.origin || !pathname.startsWith(folder.pathname))
    throw new TypeError('A script from elsewhere is not taken.');
  return href;
}

const { trustedTypes } = globalThis as { trustedTypes?: TrustedTypes };
// Only in builds: the development server brings code of its own into the page.
if (import.meta.env.PROD)
  trustedTypes?.createPolicy('default', {
    createHTML: plainMarkup,
    createScriptURL: (address) => ownScript(address, document.baseURI),
  });
