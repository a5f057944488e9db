// A pale colour for each letter, far from its neighbours'; the letter itself stands on the part too.
export function tint(index: number): string {
  if (index < 0) return "#faf6ee";
  return `hsl(${(35 + index * 137.508) % 360} ${42 - (index % 3) * 8}% ${86 - (index % 2) * 6}%)`;
}
