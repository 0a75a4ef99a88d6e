/** Round numbers along an axis. */
export interface Axis {
  readonly low: number;
  readonly high: number;
  readonly ticks: readonly { readonly at: number; readonly label: string }[];
}

/**
 * An axis that holds `low`..`high` with about `count` ticks at 1, 2 or 5 times a power of ten; it begins and ends at a
 * tick. Equal or unusable limits give an axis about the value.
 */
export function linearAxis(low: number, high: number, count = 5): Axis {
  const [a, b] = high > low && Number.isFinite(high - low) ? [low, high] : widened(low);
  const raw = (b - a) / Math.max(1, count);
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = ([1, 2, 5, 10].find((m) => m * power >= raw * 0.999) ?? 10) * power;
  const from = Math.floor(a / step + 1e-9);
  const to = Math.ceil(b / step - 1e-9);
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const small = Math.max(Math.abs(from), Math.abs(to)) * step < 1e-3 || decimals > 4;
  const ticks = Array.from({ length: Math.min(to - from, 50) + 1 }, (_, i) => {
    const at = (from + i) * step;
    return { at, label: at === 0 ? '0' : tickLabel(at, decimals, small, step) };
  });
  return { low: from * step, high: to * step, ticks };
}

function tickLabel(at: number, decimals: number, small: boolean, step: number): string {
  const big = Math.abs(at) >= 1e6;
  const text = small || big ? at.toExponential(Math.max(0, digitsBetween(at, step))) : at.toFixed(decimals);
  return text.replace('e+', 'e').replaceAll('-', '−');
}

const digitsBetween = (at: number, step: number): number =>
  Math.floor(Math.log10(Math.abs(at)) + 1e-9) - Math.floor(Math.log10(step) + 1e-9);

function widened(value: number): [number, number] {
  const about = Number.isFinite(value) ? value : 0;
  const by = Math.abs(about) * 0.1 || 1;
  return [about - by, about + by];
}
