export function RunSheet() {
  return <h1>Run sheet</h1>;
}

export default RunSheet;
