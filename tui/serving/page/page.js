// The page around the terminal: its size, the buttons a tablet taps, and what is said at the end.
"use strict";

(() => {
  const COLUMNS = 80, ROWS = 24, LARGEST = 18, SMALLEST = 7;
  // A monospaced letter's width and a line's height, as shares of the size of the font.
  const WIDE = 0.61, HIGH = 1.33;
  const tapped = window.matchMedia("(pointer: coarse)").matches;
  let socket = null;

  // The terminal opens the one websocket of this page; the buttons type into the same one.
  const Plain = window.WebSocket;
  window.WebSocket = class extends Plain {
    constructor(address) {
      super(address);
      socket = this;
      this.addEventListener("close", (event) => {
        if (event.reason) document.querySelector("#reason").textContent = event.reason;
        document.body.classList.add("-closed");
      });
    }
  };

  const send = (keys) => {
    if (socket && socket.readyState === Plain.OPEN) socket.send(JSON.stringify(["stdin", keys]));
  };
  const typing = () => document.querySelector("#terminal textarea");

  // Give the terminal the largest letters that leave it 80 columns and 24 rows.
  const size = (terminal) => {
    const fits = Math.min(terminal.clientWidth / COLUMNS / WIDE, terminal.clientHeight / ROWS / HIGH);
    terminal.dataset.fontSize = Math.floor(Math.max(SMALLEST, Math.min(LARGEST, fits)));
  };

  // Panels lie on each other, so that the terminal keeps its size when another one is shown.
  const show = (name) => {
    document.querySelector("#panels").hidden = !name;
    for (const panel of document.querySelectorAll(".panel")) {
      panel.classList.toggle("-shown", panel.id === `panel-${name}`);
    }
    for (const button of document.querySelectorAll(".show")) {
      button.setAttribute("aria-pressed", button.dataset.panel === name);
    }
    window.dispatchEvent(new Event("resize"));
  };

  // A tablet's own keyboard hides half of the screen: it comes only when asked for.
  const keyboard = (wanted) => {
    const area = typing();
    document.querySelector("#keyboard").setAttribute("aria-pressed", wanted);
    if (!area) return;
    area.inputMode = wanted ? "text" : "none";
    area.blur();
    area.focus();
  };

  document.addEventListener("DOMContentLoaded", () => {
    const taps = document.querySelector("#taps");
    if (tapped) show("Pitch");
    size(document.querySelector("#terminal"));
    // The terminal keeps the focus while buttons are pressed.
    taps.addEventListener("mousedown", (event) => event.preventDefault());
    taps.addEventListener("click", (event) => {
      const button = event.target.closest("button");
      if (!button) return;
      if (button.dataset.sends) {
        send(JSON.parse(button.dataset.sends));
        button.classList.add("-felt");
        setTimeout(() => button.classList.remove("-felt"), 120);
      }
      if (button.dataset.panel) {
        show(button.getAttribute("aria-pressed") === "true" ? "" : button.dataset.panel);
      }
      if (button.id === "keyboard") keyboard(button.getAttribute("aria-pressed") !== "true");
    });
    document.querySelector("#again").addEventListener("click", () => window.location.assign("/"));
  });

  // After the terminal has been made, which happens once everything is loaded.
  window.addEventListener("load", () => setTimeout(() => {
    if (tapped) keyboard(false);
    else typing()?.focus();
  }, 0));
})();
