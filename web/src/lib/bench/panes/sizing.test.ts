import { expect, test } from 'vitest';
import { asImage, millimetresOf, pixelsOf } from './sizing';

test('a picture is as wide as its room, by steps, within its limits', () => {
  expect(millimetresOf(0, 200)).toBe(60);
  expect(millimetresOf(420, 200)).toBe(100);
  expect(millimetresOf(430, 200)).toBe(100);
  expect(millimetresOf(5000, 130)).toBe(130);
  expect(pixelsOf(100)).toBe('420px');
});

test('a drawing with signs of its own is an image', () => {
  expect(asImage('<svg id="#a">%</svg>')).toBe(
    'data:image/svg+xml,%3Csvg%20id%3D%22%23a%22%3E%25%3C%2Fsvg%3E',
  );
  expect(asImage('<svg><g/></svg>', 'a{}')).toBe(asImage('<svg><style>a{}</style><g/></svg>'));
});
