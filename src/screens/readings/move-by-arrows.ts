/** Up and down go from row to row; in an opened doubt the next one is opened in its place. */
export function moveByArrows(event: KeyboardEvent): void {
  if (event.key !== 'ArrowDown' && event.key !== 'ArrowUp') return;
  const target = event.target instanceof HTMLElement ? event.target : null;
  const lists = event.currentTarget;
  if (!target || !(lists instanceof HTMLElement) || target.matches('input, select, textarea, audio')) return;
  const list = target.closest('ul.calls');
  const rows = [...(list ?? lists).querySelectorAll<HTMLButtonElement>('button.call-row')];
  const at = rows.findIndex((row) => row === target || row.parentElement?.contains(target));
  const next = rows[at + (event.key === 'ArrowDown' ? 1 : -1)];
  if (!next) return;
  event.preventDefault();
  next.focus();
  const wasOpen = rows[at]?.getAttribute('aria-expanded') === 'true';
  if (wasOpen && next.getAttribute('aria-expanded') === 'false') next.click();
}
