export function Help() {
  return <h1>Help</h1>;
}

export default Help;
