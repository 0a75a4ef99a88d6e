import { createResource, Show, Suspense } from 'solid-js';
import { type QrText, qrText } from '../../files/qr-text.ts';
import { node, type SvgNode } from '../../results/svg.ts';
import { textsOf } from '../texts.ts';
import { Drawing } from './Drawing.tsx';
import { linkTexts } from './link-texts.ts';

/** A QR code of a text; the maker of codes is loaded when one is shown. */
export function QrCode(props: { text: string }) {
  const t = textsOf(linkTexts);
  const [code] = createResource(
    () => props.text,
    (text) => qrDrawing(qrText(text), t().codeOfLink),
  );
  return (
    <Suspense fallback={<p class="quiet">{t().drawing}</p>}>
      <Show when={code()}>
        {(made) => (
          <>
            <Drawing drawing={made().drawing} class="qr" />
            <Show when={made().modules > 117}>
              <p class="quiet">{t().dense}</p>
            </Show>
          </>
        )}
      </Show>
    </Suspense>
  );
}

/** Light modules around a code, ISO/IEC 18004, 5.3.8. */
const quietZone = 4;

/** One path, dark on white whatever the theme, with the quiet zone of four modules that readers need. */
export async function qrDrawing(
  { characters, digits }: QrText,
  label: string,
): Promise<{ drawing: SvgNode; modules: number }> {
  const { default: qrcode } = await import('qrcode-generator');
  const code = qrcode(0, 'L');
  code.addData(characters, 'Byte');
  if (digits !== '') code.addData(digits, 'Numeric');
  code.make();
  const modules = code.getModuleCount();
  const size = modules + 2 * quietZone;
  const places = Array.from({ length: modules }, (_, i) => i);
  const path = places
    .flatMap((y) => places.flatMap((x) => (code.isDark(y, x) ? [`M${x + quietZone} ${y + quietZone}h1v1h-1z`] : [])))
    .join('');
  const drawing = node(
    'svg',
    { viewBox: `0 0 ${size} ${size}`, role: 'img', 'aria-label': label, 'shape-rendering': 'crispEdges' },
    node('rect', { width: size, height: size, fill: '#ffffff' }),
    node('path', { d: path, fill: '#000000' }),
  );
  return { drawing, modules };
}
