/**
 * A speaking voice for real browsers without one, put in place before any code of the page: it says nothing, takes a
 * moment for it, and keeps what it was given in `window.spoken`.
 */
export const fakeVoice = `(() => {
  const spoken = [];
  Object.defineProperty(window, 'spoken', { value: spoken });
  const voice = { voiceURI: 'test', name: 'test', lang: 'en-US', localService: true, default: true };
  let timer = 0;
  Object.defineProperty(window, 'speechSynthesis', {
    value: {
      getVoices: () => [voice],
      cancel: () => clearTimeout(timer),
      speak(utterance) {
        if (utterance.text.trim() !== '') spoken.push(utterance.text);
        timer = setTimeout(() => utterance.onend && utterance.onend(), 40 + utterance.text.length);
      },
      addEventListener() {},
      removeEventListener() {},
    },
  });
  window.SpeechSynthesisUtterance = class {
    constructor(text) {
      this.text = text;
      this.lang = '';
      this.volume = 1;
    }
  };
})()`;
