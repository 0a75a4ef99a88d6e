/**
 * A number of a fixed height, to be read from two metres: one that is too long for its place gets narrower, not lower.
 * Digits are 0.73 em high, so that a drawing 79 units high holds them and a thin rim.
 */
export function BigNumber(props: { text: string; class?: string }) {
  // Bold tabular digits are some 0.7 em wide, points and signs less.
  const wide = () => [...props.text].reduce((sum, sign) => sum + (/\d/.test(sign) ? 70 : 36), 0) || 70;
  return (
    <svg
      class={`big-number ${props.class ?? ''}`}
      viewBox={`0 -1 ${wide()} 79`}
      preserveAspectRatio={wide() > 144 ? 'none' : 'xMinYMid meet'}
      role="img"
      aria-label={props.text}
    >
      <text x="0" y="75" font-size="100" textLength={wide()} lengthAdjust="spacingAndGlyphs">
        {props.text}
      </text>
    </svg>
  );
}
