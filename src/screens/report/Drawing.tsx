import { createRenderEffect } from 'solid-js';
import { type SvgNode, short, svgText } from '../../results/svg.ts';
import './plot.css';

/** A drawing on the page. Built node by node: nothing is parsed, so no text in it can become markup. */
export function Drawing(props: { drawing: SvgNode; class?: string }) {
  const figure = document.createElement('div');
  createRenderEffect(() => {
    figure.className = props.class ?? 'drawing';
    figure.replaceChildren(built(props.drawing));
  });
  return figure;
}

function built(item: SvgNode | string): Node {
  if (typeof item === 'string') return document.createTextNode(item);
  const element = document.createElementNS('http://www.w3.org/2000/svg', item.tag);
  for (const [name, value] of Object.entries(item.attributes))
    element.setAttribute(name, typeof value === 'number' ? short(value) : value);
  element.append(...item.children.map(built));
  return element;
}

/** A drawing as PNG, white behind it, three pixels for one. @throws when the browser cannot draw it */
export async function pngOf(drawing: SvgNode): Promise<Uint8Array> {
  const scale = 3;
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svgText(drawing))}`;
  await image.decode();
  const canvas = document.createElement('canvas');
  canvas.width = Number(drawing.attributes.width) * scale;
  canvas.height = Number(drawing.attributes.height) * scale;
  const context = canvas.getContext('2d');
  if (!context) throw new Error('no canvas');
  context.fillStyle = '#ffffff';
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.drawImage(image, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'));
  if (!blob) throw new Error('no picture');
  return new Uint8Array(await blob.arrayBuffer());
}
