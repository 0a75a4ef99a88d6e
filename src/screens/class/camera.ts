import { type CodeReader, makeCodeReader } from './code-reader.ts';

/** Why there is no picture: the person or the browser refused, another program has the camera, it went away, there is none. */
export type CameraTrouble = 'denied' | 'busy' | 'lost' | 'none';

export interface CameraOptions {
  /** A code in the picture. The next one is looked for once this has resolved. */
  readonly onText: (text: string) => Promise<void>;
  readonly onReady: () => void;
  readonly onTrouble: (trouble: CameraTrouble) => void;
  readonly makeReader?: () => Promise<CodeReader>;
}

/** A camera in whose picture one code after the other is looked for. */
export interface Camera {
  /** Starts anew; whatever an earlier start still waits for comes to nothing. */
  start(video: HTMLVideoElement): Promise<void>;
  stop(): void;
}

/** A reader that answers no sooner is replaced, ms: the first answer waits for its decoder to load. By judgement. */
const mostMs = { first: 30_000, later: 5000 };
/** Between two looks, ms. */
const betweenMs = 60;

/** Not a text: a code may say anything. */
const waited = Symbol('waited');
const wait = (ms: number): Promise<typeof waited> => new Promise((resolve) => setTimeout(resolve, ms, waited));

export function makeCamera({ onText, onReady, onTrouble, makeReader = makeCodeReader }: CameraOptions): Camera {
  /** Ends the present start; null while there is none. */
  let end: (() => void) | null = null;

  const stop = (): void => {
    end?.();
    end = null;
  };

  const start = async (video: HTMLVideoElement): Promise<void> => {
    stop();
    let over = false;
    let stream: MediaStream | null = null;
    const readers: CodeReader[] = [];
    const letGo = (): void => {
      over = true;
      for (const track of stream?.getTracks() ?? []) track.stop();
      for (const reader of readers.splice(0)) reader.close();
    };
    end = letGo;
    const fail = (trouble: CameraTrouble): void => {
      if (over) return;
      stop();
      onTrouble(trouble);
    };
    const newReader = async (): Promise<CodeReader> => {
      const reader = await makeReader();
      readers.push(reader);
      if (over) letGo();
      return reader;
    };
    try {
      const wanted = { facingMode: 'environment', width: { ideal: 1280 }, height: { ideal: 720 } };
      stream = await navigator.mediaDevices.getUserMedia({ video: wanted });
      if (over) return letGo();
      // Unplugged, or taken away by the person or the system.
      for (const track of stream.getTracks()) track.addEventListener('ended', () => fail('lost'));
      video.srcObject = stream;
      await video.play();
      let reader = await newReader();
      let known = false;
      if (!over) onReady();
      while (!over) {
        if (document.hidden) {
          await wait(betweenMs);
          continue;
        }
        const text: string | null | typeof waited = await Promise.race([
          reader.read(video),
          wait(known ? mostMs.later : mostMs.first),
        ]);
        if (over) break;
        known = text !== waited;
        if (text === waited) {
          // Never two questions to one reader: it would take the answer to the first for that to the second.
          reader.close();
          readers.splice(readers.indexOf(reader), 1);
          reader = await newReader();
        } else if (text !== null) await onText(text);
        await wait(betweenMs);
      }
    } catch (error) {
      const name = error instanceof DOMException ? error.name : '';
      fail(name === 'NotAllowedError' ? 'denied' : name === 'NotReadableError' ? 'busy' : 'none');
    }
  };

  return { start, stop };
}
