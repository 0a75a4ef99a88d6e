import { createReadStream, createWriteStream, existsSync } from 'node:fs';
import { chmod, mkdir, mkdtemp, readFile, rename, rm, symlink, writeFile } from 'node:fs/promises';
import { dirname, join, normalize, sep } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { fileURLToPath } from 'node:url';
import { brotliDecompressSync, createBrotliDecompress } from 'node:zlib';

/**
 * The browser that comes through the package registry (@sparticuz/chromium, a headless shell for Linux on x64),
 * unpacked beside the packages so that a test run needs neither a system browser nor its libraries. The package's own
 * helper is not used: it unpacks the libraries only on certain cloud hosts, returns early on a half-written file, and
 * its argument list switches web security off.
 */
export interface BundledBrowser {
  readonly executable: string;
  /** What the process needs to find the libraries and fonts that came with it. */
  readonly environment: Readonly<Record<string, string>>;
}

const packageFolder = fileURLToPath(new URL('../../node_modules/@sparticuz/chromium', import.meta.url));
const cacheFolder = fileURLToPath(new URL('../../node_modules/.cache/meniscall', import.meta.url));

/** Unpacks the browser once per version. Null on a system it was not made for. Some 210 MB and 1 to 4 s the first time. */
export async function bundledBrowser(): Promise<BundledBrowser | null> {
  if (process.platform !== 'linux' || process.arch !== 'x64') return null;
  const description: unknown = JSON.parse(await readFile(join(packageFolder, 'package.json'), 'utf8'));
  const version =
    typeof description === 'object' && description !== null && 'version' in description
      ? String(description.version)
      : 'unknown';
  const home = join(cacheFolder, `chromium-${version}`);
  if (!existsSync(home)) await unpack(home);
  return {
    executable: join(home, 'chromium'),
    environment: {
      LD_LIBRARY_PATH: [join(home, 'lib'), process.env.LD_LIBRARY_PATH].filter(Boolean).join(':'),
      FONTCONFIG_PATH: home,
    },
  };
}

/** Everything goes to a folder of this process first and is renamed at the end: nobody can meet half a browser. */
async function unpack(home: string): Promise<void> {
  await mkdir(dirname(home), { recursive: true });
  const workshop = await mkdtemp(`${home}-unpacking-`);
  try {
    const bin = join(packageFolder, 'bin');
    const executable = join(workshop, 'chromium');
    await pipeline(createReadStream(join(bin, 'chromium.br')), createBrotliDecompress(), createWriteStream(executable));
    await chmod(executable, 0o755);
    // Libraries (into lib/), fonts (fonts.conf and fonts/), and the software renderer (beside the browser).
    for (const archive of ['al2023', 'fonts', 'swiftshader'])
      await untar(brotliDecompressSync(await readFile(join(bin, `${archive}.tar.br`))), workshop);
    await writeFile(
      join(workshop, 'fonts.conf'),
      `<?xml version="1.0"?>\n<!DOCTYPE fontconfig SYSTEM "fonts.dtd">\n<fontconfig><dir prefix="relative">fonts</dir><cachedir>${join(home, 'fonts-cache')}</cachedir></fontconfig>\n`,
    );
    await rename(workshop, home);
  } catch (error) {
    await rm(workshop, { recursive: true, force: true });
    // Another process was faster and the folder is there: as good.
    if (!existsSync(join(home, 'chromium'))) throw error;
  }
}

/** Unpacks a tar archive (POSIX ustar with GNU long names): files, folders and symbolic links, never out of `folder`. */
async function untar(archive: Buffer, folder: string): Promise<void> {
  const text = (from: number, length: number): string => {
    const field = archive.subarray(from, from + length);
    const end = field.indexOf(0);
    return field.subarray(0, end < 0 ? length : end).toString('utf8');
  };
  let longName = '';
  for (let at = 0; at + 512 <= archive.length && archive[at] !== 0; ) {
    const size = Number.parseInt(text(at + 124, 12).trim() || '0', 8);
    const type = String.fromCharCode(archive[at + 156] ?? 0);
    const prefix = text(at + 257, 5) === 'ustar' ? text(at + 345, 155) : '';
    const name = longName || (prefix ? `${prefix}/${text(at, 100)}` : text(at, 100));
    const mode = Number.parseInt(text(at + 100, 8).trim() || '644', 8);
    const target = normalize(join(folder, name));
    const body = archive.subarray(at + 512, at + 512 + size);
    longName = type === 'L' ? body.toString('utf8').replace(/\0.*$/s, '') : '';
    if (target !== folder && !target.startsWith(folder + sep))
      throw new Error(`archive entry leaves its folder: ${name}`);
    if (type === '5') await mkdir(target, { recursive: true });
    else if (type === '0' || type === '\0') {
      await mkdir(dirname(target), { recursive: true });
      await writeFile(target, body, { mode });
    } else if (type === '2') {
      await mkdir(dirname(target), { recursive: true });
      await symlink(text(at + 157, 100), target);
    }
    at += 512 + Math.ceil(size / 512) * 512;
  }
}
