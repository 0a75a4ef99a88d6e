export function Readings() {
  return <h1>Readings</h1>;
}

export default Readings;
