import { createResource, Show, Suspense } from 'solid-js';
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

/** One path, dark on white whatever the theme, with the quiet zone of four modules that readers need. */
async function qrDrawing(text: string): Promise<{ drawing: SvgNode; modules: number }> {
  const { encode } = await import('uqr');
  const { data, size } = encode(text, { ecc: 'L', boostEcc: true, border: 4 });
  const path = data.flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x} ${y}h1v1h-1z`] : []))).join('');
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
  return { drawing, modules: size - 8 };
}
