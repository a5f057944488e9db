// The lines of the job ticket: what stands on each, and which results it asks the bench for.
import type { Finding } from "./wire";
import { LINES, type LineName } from "./words";

export const WANTS: Record<LineName, string[]> = {
  piece: ["steps", "sheets"],
  sizes: [],
  joints: ["steps", "sheets"],
  sheets: ["sheets"],
  cushion: ["cushion"],
  evenings: ["evenings", "supplies"],
  kit: ["sheets"],
};

/** The line on which a group of fields stands. */
export function lineOf(group: string): LineName {
  return LINES.find((name) => name === group) ?? "sizes";
}

/** The line under which a finding is listed. */
export function findingLine(finding: Finding): LineName {
  if (finding.place === "sheet") return "sheets";
  if (finding.place === "joint") return "joints";
  if (finding.place === "cushion" || finding.place === "evenings") return finding.place;
  return "piece";
}
