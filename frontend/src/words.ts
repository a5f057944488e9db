// Every word of the page that does not come from the server.
import { shown } from "./length";
import type { Grade } from "./wire";

export type LineName = "piece" | "sizes" | "joints" | "sheets" | "cushion" | "evenings" | "kit";
export const LINES: LineName[] = ["piece", "sizes", "joints", "sheets", "cushion", "evenings", "kit"];

export const line: Record<LineName, { title: string; about: string }> = {
  piece: { title: "Piece", about: "What it is, and what it looks like." },
  sizes: { title: "Sizes and board", about: "Full size in ink, in miniature in plum." },
  joints: { title: "Joints", about: "How the parts hold each other." },
  sheets: { title: "Sheets", about: "How the layers lie on the board." },
  cushion: { title: "Cushion", about: "Buttons, batting, cloth and stitches." },
  evenings: { title: "Evenings", about: "What can be done when, while glue sets." },
  kit: { title: "Kit", about: "The files to cut and glue from." },
};

export const grade: Record<Grade, { one: string; many: string; title: string }> = {
  stop: { one: "stop", many: "stops", title: "Stop" },
  care: { one: "take care", many: "take care", title: "Take care" },
  note: { one: "note", many: "notes", title: "Note" },
};

export function counted(kind: Grade, count: number): string {
  return `${count} ${count === 1 ? grade[kind].one : grade[kind].many}`;
}

export const app = {
  name: "Laminature",
  motto: "Furniture in layered card, from sizes to slots.",
  connecting: "Laying the table…",
  ticket: "Job ticket",
  onTheTable: "On the table",
};

export const connection = {
  lost: "The connection to the work table is lost. Nothing you typed is gone. Trying again…",
  ended:
    "This page belongs to an earlier start of Laminature. Open it again with “laminature open”; your work is saved. What you typed since then still stands here.",
};

export const start = {
  title: "What shall be made?",
  examples: "Or with an example from the tide-reader's loft",
  works: "Go on with",
  all: (count: number) => `All ${count} works`,
  drop: "Or drop a design file anywhere on this table.",
  choose: "Choose a design file…",
  dropping: "Let go: this file comes onto the table.",
  tooLarge: "This file is larger than 2 MB: it is hardly a design file.",
  notText: "This is not a text file. Design files end in .toml.",
  forget: "Put into the bin",
  forgetTitle: (title: string) => `Put into the bin: ${title}`,
};

export const ticket = {
  putAway: "Put away",
  putAwayHelp: "Back to all works. This one is saved.",
  scale: (scale: string) => `at ${scale}`,
  saved: (when: string) => `Saved ${when}`,
  unsaved: "Not saved yet",
  takeBack: (label: string | null) => (label ? `Take back: ${label}` : "Nothing to take back"),
  doAgain: (label: string | null) => (label ? `Do again: ${label}` : "Nothing to do again"),
  copies: "Earlier copies",
  text: "The file as text",
  letGo: "Let it go",
  unread: "There is nothing to look at until the file can be read: what is wrong with it stands above.",
  unreadTable:
    "There is nothing to look at until the file can be read: what is wrong with it stands on the job ticket.",
  unreadShort: "nothing yet",
  takeFile: "Take the changed file",
  takeOwn: "Go on as a work of its own",
  good: "in order",
  findings: "What needs care",
};

export const field = {
  reset: "as usual",
  resetTitle: (title: string, value: string) => `as usual: ${title}${value ? `, ${value}` : ""}`,
  notTaken: "Typed, but not taken yet.",
  less: (title: string) => `${title}: one less`,
  more: (title: string) => `${title}: one more`,
  slide: (title: string) => `${title}, by sliding`,
};

export const find = {
  goThere: "Show the place",
  onSheet: "Show it on the sheet",
  onPiece: "Show it on the piece",
  behind: "It lies at the back, as the piece is turned now.",
  mend: (label: string) => label,
  looking: "Being looked through…",
};

export const strip = {
  title: "How it is shown",
  looks: "Shown as",
  look: { card: "card", hardened: "hardened", stained: "stained" },
  explode: "Taken apart",
  layers: "Layers apart",
  measure: "Measure",
  section: "Cut open",
  sectionAxis: "Cut across",
  axis: { x: "its width", y: "its depth", z: "its height" },
  fit: "Whole piece",
  steps: "Put together",
  step: (at: number, all: number) => `Step ${at} of ${all}`,
  play: "Play",
  pause: "Pause",
  back: "One back",
  on: "One on",
  stop: "Done",
  trueSize: "True size",
  again: "Hold the card again",
  working: "Being drawn…",
  noGraphics: "This browser cannot draw in three dimensions (WebGL is off). Everything else works.",
};

export const view = {
  label:
    "The piece in space. Arrow keys turn it, with Shift they move it; plus and minus zoom; Home shows it whole; " +
    "N and P go from part to part; Escape lets go.",
};

export const measure = {
  first: "Click a first point; near a corner it takes the corner.",
  second: "Click a second point.",
  full: "at full size",
};

export const part = {
  title: "This part",
  thickness: "thick",
  layers: (count: number) => (count === 1 ? "one layer" : `${count} layers`),
  joints: "Held by",
  onSheet: (names: string) => `lies on ${names}`,
  close: "Put the tag away",
  soft: {
    cloth: "Cloth over batting: buttons, layers and stitches stand on the line “Cushion”.",
    beads: "Buttons, each a bead: their places stand on the line “Cushion”.",
    piping: "The cord about the cushion: it stands on the line “Cushion”.",
  } as Record<string, string>,
};

export const trueSize = {
  title: "As large as in the hand",
  ask: "Hold a bank card to the screen, its left edge on the left line, and slide until the right line meets its right edge. This screen then knows its size.",
  note: "Any card of the usual size will do: 85.60 mm wide (ISO/IEC 7810 ID-1).",
  slide: "Width of the card on the screen",
  keep: "It fits",
  leave: "Leave it",
  again: "Hold the card again",
};

export const copies = {
  title: "Earlier copies",
  about: "Copies are kept by date. Going back to one can be taken back.",
  none: "There are no earlier copies yet.",
  back: "Go back to this",
  close: "Close",
};

export const editor = {
  title: "The file as text",
  about: "This is the design file as it stands. What you write here is taken as a whole.",
  label: "Design file",
  take: "Take this text",
  again: "Read it anew",
  close: "Close",
  taken: "Taken.",
  problems: "It cannot be taken yet:",
  line: (number: number) => `line ${number}`,
};

export const light = {
  title: "Light",
  day: "daylight",
  lamp: "lamplight",
  computer: "as the computer",
};

export const trouble = { close: "Put it away" };

export const waiting = { finding: "Being worked out…" };

export const sheets = {
  drawing: (count: number) =>
    `${count === 1 ? "One sheet" : `${count} sheets`}: drag or use the arrow keys to move, plus and minus to come nearer, 0 for all`,
  role: "sheets on the table",
  grain: "The board is stiff along this arrow",
  here: "This is the place",
  worthKeeping: (count: number) =>
    `${count === 1 ? "One offcut is" : `${count} offcuts are`} worth keeping (hatched).`,
  all: "All sheets",
  route: (count: number) => `Order of ${count} cuts`,
  offcuts: "What is left",
  improve: "Seek better sheets for a minute",
  seeking: "Better sheets are sought",
  round: (round: number, first: number, now: number) =>
    round === 0
      ? "Seeking…"
      : `Round ${round}: ${now < first ? `${(100 * (1 - now / first)).toFixed(1)} % better so far` : "nothing better yet"}`,
  use: "Use these sheets",
};

export const offcuts = {
  title: "Offcuts that are filled first",
  size: (width: number, height: number) => `${shown(width)} × ${shown(height)} mm`,
  about: (offcut: { board: string; known: boolean; suits: boolean; grain: number | null; origin: string }) =>
    [
      offcut.known ? offcut.board : `${offcut.board}, a board that is not known any more`,
      offcut.grain === null ? "" : offcut.grain === 0 ? "grain along its width" : "grain along its height",
      offcut.origin,
      offcut.suits ? "" : "no board of this piece",
    ]
      .filter(Boolean)
      .join(" · "),
  none: "You keep no offcuts yet. Enter one at the command line: laminature offcuts add --board BOARD --size '120 x 80 mm'; “laminature cut” with a kit's folder enters what that kit left.",
  noneSuits: "None of your offcuts is of a board that this piece is made of.",
  others: (count: number) => `${count} of other boards`,
};

export const cushion = {
  none: "This piece has no cushion.",
  add: (part: string) => `Put a cushion on “${part}”`,
  adding: "adding a cushion",
  byFile: "It can be taken back. Or write these lines at the end of the design, in “The file as text”:",
  onlyByFile:
    "No part lies level with nothing standing above it, so write the part that it is to lie on, at the end of the design, in “The file as text”:",
  lines: '[cushion]\non = "PART"\npattern = "diamond"',
  show: "What is shown of the cushion",
  view: { plan: "Buttons", batting: "Batting", cloth: "Cloth", sewing: "Sewing" },
  drawing: {
    plan: "The buttons from above: each can be moved with the arrow keys",
    batting: "The layers of batting",
    cloth: "The cloth as it is marked and cut",
    sewing: "The order in which buttons are sewn on",
  },
  button: (number: number, x: number, y: number) =>
    `Button ${number}, ${Math.abs(x).toFixed(1)} mm ${x < 0 ? "left" : "right"} of and ${Math.abs(y).toFixed(1)} mm ${y < 0 ? "behind" : "before"} the middle`,
  moving: "moving a button",
  drag: "Drag a button, or choose it and use the arrow keys; then every place is yours.",
  sewn: (done: number, all: number) => `${done} of ${all} buttons`,
  play: "Play",
  pause: "Pause",
  back: "One back",
  on: "One on",
};

function minutes(count: number): string {
  const hours = Math.floor(count / 60);
  const rest = Math.round(count % 60);
  if (!hours) return `${rest} min`;
  return rest ? `${hours} h ${rest} min` : `${hours} h`;
}

export const evenings = {
  title: (count: number) => (count === 1 ? "One evening" : `${count} evenings`),
  chart: "Chart of the work by evening; the list below says the same in words",
  list: "The work, evening by evening",
  hands: (count: number) => `${minutes(count)} at the table`,
  task: (hands: number, wait: number) =>
    [hands ? minutes(hands) : "", wait ? `${minutes(wait)} by itself` : ""].filter(Boolean).join(", then "),
  supplies: "What to have in the house",
  thing: "Thing",
  amount: "Needed",
  buy: "To buy",
  why: "Why so much",
};

export const KINDS = ["svg", "dxf", "pdf", "machine", "bench", "lists", "model", "cushion", "guide"];

export const kit = {
  files: "What goes into it",
  kind: {
    svg: { title: "Sheets as SVG", about: "for machines that read drawings" },
    dxf: { title: "Sheets as DXF", about: "one layer for each operation" },
    pdf: { title: "Sheets as PDF", about: "to print at true size and cut by hand" },
    machine: { title: "Machine files", about: "plotter and G-code: read the cautions first" },
    bench: { title: "Aids at the bench", about: "jigs, stencils and spacers" },
    lists: { title: "Lists", about: "parts and supplies, for a spreadsheet" },
    model: { title: "Model in space", about: "and a page to turn it about" },
    cushion: { title: "Cushion", about: "batting, cloth and panels" },
    guide: { title: "The guide", about: "step by step, with pictures" },
  } as Record<string, { title: string; about: string }>,
  none: {
    svg: "left out: name svg at “Files of each sheet”, on the line “Sheets”",
    dxf: "left out: name dxf at “Files of each sheet”, on the line “Sheets”",
    pdf: "left out: name pdf at “Files of each sheet”, on the line “Sheets”",
    machine: "none: name hpgl or gcode at “Files of each sheet”, on the line “Sheets”",
    cushion: "none: this piece has no cushion",
  } as Record<string, string>,
  offcuts: (names: string[]) =>
    `Filled first: your ${names.length === 1 ? "offcut" : "offcuts"} ${names.join(", ")}, as chosen at “Sheets”.`,
  stops: (count: number) =>
    `${count === 1 ? "One thing" : `${count} things`} must be put right before a kit can be made: see “stop” on the ticket.`,
  make: "Make the kit",
  again: "Make it again",
  making: "The kit is being made",
  stop: "Leave off",
  made: "The kit is made",
  zip: (size: string) => `Take the kit (zip, ${size})`,
  guide: "Take the guide",
  design: "Take the design file",
  file: "laminature-file",
  leafing: "The guide, page by page",
  page: (at: number, all: number) => `Page ${at} of ${all}`,
  larger: "Larger",
  smaller: "Back to the small page",
  enlarge: (at: number) => `Page ${at}, larger`,
  former: "Page before",
  next: "Next page",
  caution:
    "Blades, lasers, hot glue and solvents can hurt. What the data sheet of your product and the rules of your place say comes first; where in doubt, ask somebody who is trained for it.",
};
