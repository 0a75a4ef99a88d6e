/** Whether this browser has the system's share sheet. */
export const canShareFiles = (): boolean => typeof navigator.share === 'function';

/** Opens the share sheet, with files where it takes them. A person who closes it has not failed. */
export async function shareFiles(title: string, text: string, files: File[]): Promise<'shared' | 'closed' | 'failed'> {
  const withFiles = typeof navigator.canShare === 'function' && navigator.canShare({ files });
  try {
    await navigator.share(withFiles ? { title, text, files } : { title, text });
    return 'shared';
  } catch (error) {
    return error instanceof DOMException && error.name === 'AbortError' ? 'closed' : 'failed';
  }
}
