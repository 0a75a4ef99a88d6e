import { expect, test } from 'vitest';
import { routeOf, screens } from '../../src/screens/route.ts';

test('every screen has its address, with what follows it', () => {
  for (const screen of screens) expect(routeOf(`#/${screen}`)).toEqual({ screen, rest: [], unknown: false });
  expect(routeOf('#/readings/call-7').rest).toEqual(['call-7']);
});

test('no address is the first screen; one that names no screen is the first screen and known for it', () => {
  expect(routeOf('')).toMatchObject({ screen: 'start', unknown: false });
  expect(routeOf('#/')).toMatchObject({ screen: 'start', unknown: false });
  for (const garbled of ['#/benhc', '#/%E0%A4', '#bogus/3', '#/toString'])
    expect(routeOf(garbled)).toMatchObject({ screen: 'start', unknown: true });
});
