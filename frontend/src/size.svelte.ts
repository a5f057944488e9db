// True size: one switch for the piece and the sheets.
import * as kept from "./remembered";

export const size = $state<{ on: boolean; asking: boolean; pixels: number | null }>({
  on: false,
  asking: false,
  pixels: kept.pixelsPerMm(),
});

export function toggle(): void {
  if (!size.on && size.pixels === null) size.asking = true;
  else size.on = !size.on;
}

export function measured(pixels: number): void {
  size.pixels = pixels;
  size.on = true;
  size.asking = false;
}
