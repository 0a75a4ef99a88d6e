/** All German texts, gathered by the build (`vite.config.ts`); empty outside builds, where each module has its own. */
declare module 'virtual:german';
