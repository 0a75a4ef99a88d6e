import { Marked } from '../table/Marked.tsx';

/** "rate = k [I⁻]": quantities sloping, species upright, as ISO 80000-1 has it (from memory). */
export function LawText(props: { text: string }) {
  const species = () => (props.text.indexOf('[') < 0 ? props.text.length : props.text.indexOf('['));
  return (
    <>
      <i>{props.text.slice(0, species())}</i>
      <Marked text={props.text.slice(species())} />
    </>
  );
}
