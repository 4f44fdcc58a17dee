// Buttons that hand what is seen to the reader: Python makes it, the browser saves or copies it.

const SLOW_MS = 500; // after so long a button says that it is at work
const PATIENCE_MS = 30000;
const KEPT_MS = 60000; // a browser may ask where to save before it reads
const TYPES = {
  png: "image/png",
  svg: "image/svg+xml",
  csv: "text/csv;charset=utf-8",
  pdf: "application/pdf",
  handout: "application/pdf",
  slides: "application/pdf",
  html: "text/html;charset=utf-8",
};

function part(tag, name) {
  const node = document.createElement(tag);
  node.className = name;
  return node;
}

function save(name, kind, bytes) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([bytes], { type: TYPES[kind] }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), KEPT_MS);
}

function render({ model, el }) {
  const view = Math.random().toString(36).slice(2); // an answer is for the view that asked
  const row = part("div", "keep-row");
  const status = part("p", "keep-status");
  const area = part("textarea", "keep-text");
  const buttons = new Map();
  let busy = false;
  let timers = [];

  row.setAttribute("role", "group");
  status.setAttribute("role", "status");
  area.readOnly = true;
  area.hidden = true;
  el.classList.add("keep-bar");
  el.dataset.lmSuppressShortcuts = "true"; // a notebook leaves the keys to the buttons
  el.append(row, area);

  function draw() {
    const words = model.get("words");
    row.setAttribute("aria-label", words.label);
    area.setAttribute("aria-label", words.by_hand);
    buttons.clear();
    for (const kind of model.get("kinds")) {
      const button = part("button", `keep-button keep-${kind}`);
      button.type = "button";
      button.textContent = words[kind];
      button.addEventListener("click", () => ask(kind));
      buttons.set(kind, button);
    }
    row.replaceChildren(...buttons.values(), status);
    turn();
  }

  function turn() {
    el.hidden = model.get("about") === "";
    area.hidden = true;
    say("");
  }

  function say(text) {
    status.textContent = text;
  }

  function ask(kind) {
    if (busy) return;
    const words = model.get("words");
    const button = buttons.get(kind);
    busy = true;
    area.hidden = true;
    say("");
    for (const each of buttons.values()) each.setAttribute("aria-disabled", "true");
    button.style.minWidth = `${button.offsetWidth}px`;
    timers = [
      setTimeout(() => {
        button.textContent = words.working;
        button.setAttribute("aria-busy", "true");
      }, SLOW_MS),
      setTimeout(() => {
        rest();
        say(words.no_answer);
      }, PATIENCE_MS),
    ];
    model.send({ view, kind });
  }

  function rest() {
    timers.forEach(clearTimeout);
    busy = false;
    for (const [kind, button] of buttons) {
      button.textContent = model.get("words")[kind];
      button.removeAttribute("aria-disabled");
      button.removeAttribute("aria-busy");
    }
  }

  async function answered(answer, buffers) {
    if (answer.view !== view) return;
    rest();
    const words = model.get("words");
    if (answer.failed) {
      say(answer.failed);
    } else if (answer.kind === "python") {
      await copy(new TextDecoder().decode(buffers[0]), words);
    } else {
      save(answer.name, answer.kind, buffers[0]);
      say(words.saved.replace("{name}", () => answer.name));
    }
  }

  async function copy(text, words) {
    let copied = true;
    try {
      await navigator.clipboard.writeText(text);
    } catch {
      copied = copyMarked(text);
    }
    say(copied ? words.copied : words.copy_by_hand);
  }

  // Where a browser keeps its clipboard shut, the text is laid out marked, for the reader's own keys.
  function copyMarked(text) {
    const before = document.activeElement;
    area.value = text;
    area.hidden = false;
    area.focus();
    area.select();
    area.scrollTop = 0;
    if (!document.execCommand("copy")) return false;
    area.hidden = true;
    before?.focus();
    return true;
  }

  area.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    event.stopPropagation();
    area.hidden = true;
    buttons.get("python")?.focus();
  });
  model.on("change:words", draw);
  model.on("change:about", turn);
  model.on("msg:custom", answered);
  draw();
  return () => timers.forEach(clearTimeout);
}

export default { render };
