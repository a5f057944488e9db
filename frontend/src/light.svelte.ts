// Daylight or lamplight: as chosen, or as the computer is set.
import * as kept from "./remembered";

const asked = window.matchMedia("(prefers-color-scheme: dark)");

export const shines = $state<{ chosen: kept.Light; dark: boolean }>({ chosen: kept.light(), dark: false });

function apply(): void {
  shines.dark = shines.chosen === "lamp" || (shines.chosen === "computer" && asked.matches);
  document.documentElement.dataset.light = shines.dark ? "dark" : "light";
}

export function shine(choice: kept.Light): void {
  shines.chosen = choice;
  kept.keepLight(choice);
  apply();
}

asked.addEventListener("change", apply);
apply();
