export function Class() {
  return <h1>Class</h1>;
}

export default Class;
