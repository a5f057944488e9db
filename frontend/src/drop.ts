// A design file that is dropped or chosen: read here, handed on as text. No path is ever sent.
import type { Table } from "./state.svelte";
import { start } from "./words";

const LARGEST = 2 * 1024 * 1024;

export async function dropped(table: Table, file: File | undefined): Promise<void> {
  if (!file) return;
  // What was said of a file before is over.
  table.troubles = [];
  if (file.size > LARGEST) {
    table.say(start.tooLarge);
    return;
  }
  try {
    const text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
    table.drop(file.name, text);
  } catch {
    table.say(start.notText);
  }
}
