import { mount } from "svelte";
import App from "./App.svelte";
import "./style.css";
import { token } from "./remembered";
import { Table } from "./state.svelte";

const address = new URL("socket", window.location.href);
address.protocol = address.protocol === "https:" ? "wss:" : "ws:";
address.hash = "";
const target = document.getElementById("table");
if (target) {
  const table = new Table(address.href, token());
  mount(App, { target, props: { table } });
  table.connect();
}
