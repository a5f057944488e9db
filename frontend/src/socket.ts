// The one websocket: decoding without a copy, answers by id, and coming back after a loss.
import type { Blob3, Blobs, Message } from "./wire";

const WAITS = [400, 800, 1500, 3000, 5000]; // milliseconds between tries to reconnect
const REFUSED = 1008; // wrong token: the server was started anew, this page is of a former start

interface Named {
  name: string;
  type: "f32" | "u32" | "u8";
  at: number;
  count: number;
}

/** Header and blobs of one binary message; the blobs are views into it. */
export function decode(buffer: ArrayBuffer): { message: Message; blobs: Blobs } {
  const length = new DataView(buffer).getUint32(0, true);
  const message = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length))) as Message;
  const blobs: Blobs = new Map<string, Blob3>();
  for (const { name, type, at, count } of (message.blobs as Named[] | undefined) ?? []) {
    const from = 4 + length + at;
    if (type === "f32") blobs.set(name, new Float32Array(buffer, from, count));
    else if (type === "u32") blobs.set(name, new Uint32Array(buffer, from, count));
    else blobs.set(name, new Uint8Array(buffer, from, count));
  }
  return { message, blobs };
}

export interface Listener {
  heard(message: Message, blobs: Blobs): void;
  lost(forGood: boolean): void;
}

/** Keeps a connection to the server as long as the page lives. */
export class Socket {
  private socket: WebSocket | null = null;
  private tries = 0;
  private timer = 0;
  private ids = 0;

  constructor(
    private readonly address: string,
    private readonly token: string,
    private readonly listener: Listener,
  ) {}

  connect(): void {
    window.clearTimeout(this.timer);
    const socket = new WebSocket(this.address);
    socket.binaryType = "arraybuffer";
    this.socket = socket;
    socket.onopen = () => {
      socket.send(JSON.stringify({ kind: "hello", token: this.token }));
    };
    socket.onmessage = (event: MessageEvent<ArrayBuffer | string>) => {
      const data = event.data;
      const { message, blobs } =
        typeof data === "string"
          ? { message: JSON.parse(data) as Message, blobs: new Map<string, Blob3>() }
          : decode(data);
      this.tries = 0;
      this.listener.heard(message, blobs);
    };
    socket.onclose = (event) => {
      if (this.socket !== socket) return;
      this.socket = null;
      const forGood = event.code === REFUSED;
      this.listener.lost(forGood);
      if (forGood) return;
      const wait = WAITS[Math.min(this.tries, WAITS.length - 1)] ?? 5000;
      this.tries += 1;
      this.timer = window.setTimeout(() => this.connect(), wait);
    };
  }

  get open(): boolean {
    return this.socket?.readyState === WebSocket.OPEN;
  }

  /** Sends, where there is a connection; the id that the answer will repeat, or null. */
  send(message: { kind: string } & Record<string, unknown>): number | null {
    if (!this.socket || this.socket.readyState !== WebSocket.OPEN) return null;
    this.ids += 1;
    this.socket.send(JSON.stringify({ ...message, id: this.ids }));
    return this.ids;
  }
}
