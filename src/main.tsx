// First: from here on, markup and scripts go through its policy.
import './screens/trusted-types.ts';
import { render } from 'solid-js/web';
import { z } from 'zod/mini';
import { App } from './screens/App.tsx';
import './screens/look/look.css';
import { makeLanguageSafe } from './screens/safe-locale.ts';

// The page forbids evaluated code (Content-Security-Policy); zod must not try to compile its schemas.
z.config({ jitless: true });

makeLanguageSafe();

const root = document.getElementById('app');
if (!root) throw new Error('index.html has no element with the id "app"');
render(() => <App />, root);
