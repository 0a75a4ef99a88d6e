import { createResource, Show, Suspense } from 'solid-js';
import { qrText } from '../../files/qr-text.ts';
import { node, type SvgNode } from '../../results/svg.ts';
import { Drawing } from './Drawing.tsx';

/** A QR code of a text; the maker of codes is loaded when one is shown. */
export function QrCode(props: { text: string }) {
  const [code] = createResource(() => props.text, qrDrawing);
  return (
    <Suspense fallback={<p class="quiet">Drawing the code…</p>}>
      <Show when={code()}>
        {(made) => (
          <>
            <Drawing drawing={made().drawing} class="qr" />
            <Show when={made().modules > 117}>
              <p class="quiet">This code is dense: show it large, and hold the camera still and close.</p>
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
async function qrDrawing(text: string): Promise<{ drawing: SvgNode; modules: number }> {
  const { default: qrcode } = await import('qrcode-generator');
  const { characters, digits } = qrText(text);
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
    {
      viewBox: `0 0 ${size} ${size}`,
      role: 'img',
      'aria-label': 'QR code of the link',
      'shape-rendering': 'crispEdges',
    },
    node('rect', { width: size, height: size, fill: '#ffffff' }),
    node('path', { d: path, fill: '#000000' }),
  );
  return { drawing, modules };
}
