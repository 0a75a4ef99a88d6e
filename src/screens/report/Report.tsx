export function Report() {
  return <h1>Report</h1>;
}

export default Report;
