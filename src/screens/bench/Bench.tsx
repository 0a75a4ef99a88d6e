export function Bench() {
  return <h1>Bench</h1>;
}

export default Bench;
