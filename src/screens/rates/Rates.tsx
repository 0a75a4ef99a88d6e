export function Rates() {
  return <h1>Rates</h1>;
}

export default Rates;
