/** Placeholder until the camera is in. */
export default function Scan(props: { onClose: () => void }) {
  return (
    <button type="button" onClick={props.onClose}>
      ×
    </button>
  );
}
