import { scriptParts } from './species.ts';

/**
 * Drawings as data: the same tree goes to the page (`screens/plot-svg`), to an SVG file and to a PNG. Colours are
 * attributes, so that a file stands alone; on the page the class names let the theme override them.
 */
export interface SvgNode {
  readonly tag: 'svg' | 'g' | 'line' | 'path' | 'circle' | 'rect' | 'text' | 'tspan' | 'title' | 'desc' | 'polygon';
  readonly attributes: Readonly<Record<string, string | number>>;
  readonly children: readonly (SvgNode | string)[];
}

export const node = (
  tag: SvgNode['tag'],
  attributes: Readonly<Record<string, string | number>> = {},
  ...children: readonly (SvgNode | string)[]
): SvgNode => ({ tag, attributes, children });

/** A text with its raised and lowered parts set by `tspan`, since few fonts have "⁻" or "₀". `size`: of the type, px. */
export function textNode(
  text: string,
  size: number,
  attributes: Readonly<Record<string, string | number>> = {},
): SvgNode {
  const parts = scriptParts(text);
  if (parts.every(({ level }) => level === 'line')) return node('text', { ...attributes, 'font-size': size }, text);
  let at = 0;
  const spans = parts.map((part) => {
    const wanted = part.level === 'sub' ? 0.25 * size : part.level === 'sup' ? -0.35 * size : 0;
    const dy = wanted - at;
    at = wanted;
    return node(
      'tspan',
      {
        ...(dy === 0 ? {} : { dy: Number(dy.toFixed(2)) }),
        ...(part.level === 'line' ? {} : { 'font-size': 0.72 * size }),
      },
      part.text,
    );
  });
  return node('text', { ...attributes, 'font-size': size }, ...spans);
}

/** The drawing as the text of an SVG file. */
export function svgText(root: SvgNode): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${serialise(withNamespace(root))}\n`;
}

const withNamespace = (root: SvgNode): SvgNode => ({
  ...root,
  attributes: { xmlns: 'http://www.w3.org/2000/svg', ...root.attributes },
});

function serialise(item: SvgNode | string): string {
  if (typeof item === 'string') return escaped(item);
  const attributes = Object.entries(item.attributes)
    .map(([name, value]) => ` ${name}="${escaped(typeof value === 'number' ? short(value) : value)}"`)
    .join('');
  const inner = item.children.map(serialise).join('');
  return inner === '' ? `<${item.tag}${attributes}/>` : `<${item.tag}${attributes}>${inner}</${item.tag}>`;
}

/** Coordinates to a hundredth of a pixel. */
export const short = (value: number): string => String(Number(value.toFixed(2)));

/** XML knows no control characters and no halves of characters; they become spaces. */
const escaped = (text: string): string =>
  text.replace(/[\p{Cc}\p{Cs}\ufffe\uffff]/gu, ' ').replace(/[&<>"]/g, (mark) => marks[mark] ?? mark);

const marks: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };
