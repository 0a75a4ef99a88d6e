// First: from here on, markup and scripts go through its policy.
import './screens/trusted-types.ts';
import { render } from 'solid-js/web';
import { z } from 'zod/mini';
import { App } from './screens/App.tsx';
import { germanSoon } from './screens/german.ts';
import './screens/look/look.css';
import { makeLanguageSafe } from './screens/safe-locale.ts';
import { pageLanguage } from './screens/texts.ts';

// The page forbids evaluated code (Content-Security-Policy); zod must not try to compile its schemas.
z.config({ jitless: true });

makeLanguageSafe();

const root = document.getElementById('app');
if (!root) throw new Error('index.html has no element with the id "app"');
const show = (): unknown => render(() => <App />, root);
// Nothing is shown in one language and then in another. Not by a top-level await: the build would cut the page into
// more parts.
if (pageLanguage() === 'de') germanSoon().then(show);
else show();
