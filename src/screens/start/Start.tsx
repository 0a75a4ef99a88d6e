export function Start() {
  return <h1>Notebooks</h1>;
}
