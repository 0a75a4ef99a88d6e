import type { Frame } from './scan.worker.ts';

/** Looks for a QR code in what a camera shows. */
export interface CodeReader {
  /** The text of a code in the picture that the video shows now; null when there is none. */
  read(video: HTMLVideoElement): Promise<string | null>;
  close(): void;
}

/** What browsers with a reader of their own offer (W3C incubation "Accelerated Shape Detection in Images"). */
interface Detector {
  detect(source: HTMLVideoElement): Promise<readonly { readonly rawValue: string }[]>;
}
interface DetectorMaker {
  new (options: { formats: string[] }): Detector;
  getSupportedFormats(): Promise<string[]>;
}

/** The browser's own reader where there is one, else a decoder in a worker, loaded now. */
export async function makeCodeReader(): Promise<CodeReader> {
  const own = (globalThis as { BarcodeDetector?: DetectorMaker }).BarcodeDetector;
  const formats: readonly string[] = (await own?.getSupportedFormats().catch(() => [])) ?? [];
  if (own && formats.includes('qr_code')) {
    const detector = new own({ formats: ['qr_code'] });
    return {
      read: async (video) => {
        const found = await detector.detect(video).catch(() => []);
        return found[0]?.rawValue ?? null;
      },
      close: () => {},
    };
  }
  return decoderInWorker();
}

/** Longest side of a picture that is looked at, px: enough for 97 modules that fill a third of it. */
const longestSide = 1280;

function decoderInWorker(): CodeReader {
  const worker = new Worker(new URL('./scan.worker.ts', import.meta.url), { type: 'module' });
  const canvas = document.createElement('canvas');
  const context = canvas.getContext('2d', { willReadFrequently: true });
  return {
    read(video) {
      const { videoWidth, videoHeight } = video;
      if (!context || videoWidth === 0) return Promise.resolve(null);
      const scale = Math.min(1, longestSide / Math.max(videoWidth, videoHeight));
      const width = Math.round(videoWidth * scale);
      const height = Math.round(videoHeight * scale);
      canvas.width = width;
      canvas.height = height;
      context.drawImage(video, 0, 0, width, height);
      const { data } = context.getImageData(0, 0, width, height);
      return new Promise((resolve) => {
        worker.onmessage = ({ data: text }: MessageEvent<string | null>) => resolve(text);
        worker.onerror = () => resolve(null);
        worker.postMessage({ width, height, data } satisfies Frame, [data.buffer]);
      });
    },
    close: () => worker.terminate(),
  };
}
