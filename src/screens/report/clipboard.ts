/** What a copy brought about, for the person. */
export type Copied = 'copied' | 'refused';

/** Copies a text with a formatted form beside it; programs that paste take the one they can use. */
export async function copyRich(html: string, plain: string): Promise<Copied> {
  try {
    const item = new ClipboardItem({
      'text/html': new Blob([html], { type: 'text/html' }),
      'text/plain': new Blob([plain], { type: 'text/plain' }),
    });
    await navigator.clipboard.write([item]);
    return 'copied';
  } catch {
    // Some browsers know plain text only.
    return copyText(plain);
  }
}

export async function copyText(text: string): Promise<Copied> {
  try {
    await navigator.clipboard.writeText(text);
    return 'copied';
  } catch {
    return copyBySelection(text);
  }
}

/** The old way, for pages that are not served securely. */
function copyBySelection(text: string): Copied {
  const area = document.createElement('textarea');
  area.value = text;
  area.setAttribute('aria-hidden', 'true');
  area.className = 'for-screen-readers';
  document.body.append(area);
  area.select();
  let done = false;
  try {
    done = document.execCommand('copy');
  } catch {
    done = false;
  }
  area.remove();
  return done ? 'copied' : 'refused';
}
