import { expect, test } from 'vitest';
import { ownScript, plainMarkup } from '../../src/screens/trusted-types.ts';

test('the templates of the framework pass, and markup that can run does not', () => {
  for (const good of [
    '<p class="row"><button type="button">',
    '<svg viewBox="0 0 8 8"><path d="M0 0"></path></svg>',
    '<input type="text" inputmode="numeric">',
  ])
    expect(plainMarkup(good)).toBe(good);
  for (const bad of [
    '<script>1</script>',
    '<SCRIPT src=x>',
    '<img src=x onerror=alert(1)>',
    '<img/onload=alert(1)>',
    '<a href="javascript:alert(1)">',
    '<iframe srcdoc="x">',
    '<base href="//elsewhere.example/">',
    '<object data=x>',
    '<style>@import "x"</style>',
  ])
    expect(() => plainMarkup(bad)).toThrow(TypeError);
});

test('workers come from the folder of the app and from nowhere else', () => {
  const base = 'https://host.example/chem/tools/#/bench';
  expect(ownScript('assets/door.js', base)).toBe('https://host.example/chem/tools/assets/door.js');
  for (const bad of [
    'https://elsewhere.example/x.js',
    '/other/x.js',
    'data:text/javascript,1',
    'blob:https://host.example/1',
  ])
    expect(() => ownScript(bad, base)).toThrow(TypeError);
});
