/** Freezes a value all the way down, so that a step that writes into the state before it throws. */
export function frozen<T>(value: T): T {
  if (typeof value !== 'object' || value === null || Object.isFrozen(value) || ArrayBuffer.isView(value)) return value;
  Object.freeze(value);
  for (const part of value instanceof Map ? value.values() : Object.values(value)) frozen(part);
  return value;
}
