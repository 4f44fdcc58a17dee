// A meeting on the screen: one step at a time, and over it a card, a point, or how it is known.

const REPEAT_MS = 1500; // what is said while the page is still starting may not be heard
const MOST_REPEATS = 20;
const CARDS_BESIDE_WORDS = 6; // more of them leave no room for the words beside the keys
const NEXT = new Set(["ArrowRight", "PageDown"]); // a clicker sends the page keys
const BACK = new Set(["ArrowLeft", "PageUp"]);

function part(tag, name, text) {
  const node = document.createElement(tag);
  if (name) node.className = name;
  if (text !== undefined) node.textContent = text;
  return node;
}

function render({ model, el }) {
  const ownPage = document.body.dataset.voila !== undefined;
  const body = part("div", "lm-body");
  const over = part("div", "lm-over");
  let before = null; // what had the focus before something was opened
  let repeat = 0;
  let typed = "";
  el.classList.add("lm-stage");
  el.dataset.lmSuppressShortcuts = "true"; // a notebook leaves the keys to the buttons
  over.hidden = true;
  el.append(body, over);

  const words = (code) => model.get("words")[code];
  const page = () => model.get("page");
  const steps = () => page().steps || [];
  const now = () => steps()[model.get("step")] || steps()[0];
  const filled = (code, values) => words(code).replace(/\{(\w+)\}/g, (_, name) => values[name]);

  function set(values) {
    for (const [name, value] of Object.entries(values)) model.set(name, value);
    model.save_changes();
  }

  function go(step) {
    if (step >= 0 && step < steps().length) set({ step, opened: "" });
  }

  function pick(lake) {
    set({ step: 0, opened: "" });
    model.send({ pick: lake });
  }

  function open(what) {
    set({ opened: model.get("opened") === what ? "" : what });
  }

  function openPoint(number) {
    const count = now().points.length;
    if (count) set({ opened: `point ${Math.min(Math.max(number, 0), count - 1)}` });
  }

  function pointKey() {
    if (model.get("opened").startsWith("point")) set({ opened: "" });
    else openPoint(now().points.length - 1);
  }

  function turnTheme() {
    const theme = model.get("theme");
    const dark = theme ? theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
    set({ theme: dark ? "light" : "dark" });
  }

  function button(key, label, act, shown = "", word = "") {
    const node = part("button", "lm-button");
    node.type = "button";
    node.title = label;
    node.setAttribute("aria-label", label);
    if (key.length === 1) node.setAttribute("aria-keyshortcuts", key.toLowerCase());
    node.append(part("span", "lm-key", shown || key));
    if (word) node.append(part("span", "lm-word", word));
    node.addEventListener("click", () => act());
    return node;
  }

  function bar() {
    const node = part("nav", page().cards.length > CARDS_BESIDE_WORDS ? "lm-bar lm-many" : "lm-bar");
    const step = model.get("step");
    const back = button("ArrowLeft", words("previous"), () => go(step - 1), "←");
    const next = button("ArrowRight", words("following"), () => go(step + 1), "→");
    back.disabled = step === 0;
    next.disabled = step === steps().length - 1;
    node.setAttribute("aria-label", words("keys_title"));
    const cards = part("span", "lm-cards");
    cards.append(part("span", "lm-asked", words("questions")));
    page().cards.forEach((card, number) => {
      cards.append(button(String(number + 1), card.question, () => open(`card ${number + 1}`)));
    });
    const more = part("span", "lm-more");
    more.append(
      button("H", words("known"), () => open("known"), "", words("word_known")),
      button("P", words("point"), pointKey, "", words("word_point")),
      button("S", words("keep_key"), () => open("keep"), "", words("word_keep")),
      button("L", words("other_lake"), () => pick(""), "", words("word_lake")),
      button("K", words("keys"), () => open("keys"), "", words("word_keys")),
    );
    more.children[1].disabled = now().points.length === 0;
    node.append(back, next, cards, more);
    return node;
  }

  function drawStep() {
    const step = now();
    const head = part("header", "lm-head");
    const title = part("h1", "lm-title");
    title.append(part("span", "lm-lake", page().lake), ` · ${step.title}`);
    head.append(title, part("span", "lm-count", filled("step_of", { number: model.get("step") + 1, of: steps().length })));
    const sentence = part("p", "lm-sentence", step.sentence);
    const picture = part("div", "lm-picture");
    picture.innerHTML = step.picture; // drawn by us; its words were escaped where it was made
    for (const node of picture.querySelectorAll("[data-point]")) {
      node.addEventListener("click", () => openPoint(Number(node.dataset.point)));
    }
    const said = part("div", "lm-said");
    said.append(part("p", "lm-sure", step.sureness), part("p", "lm-caution", step.caution));
    const live = part("div", "lm-live");
    live.setAttribute("role", "status");
    live.append(sentence);
    body.replaceChildren(head, live, picture, said, bar());
    body.dataset.step = model.get("step");
    if (ownPage) document.title = `${page().lake} · ${step.title}`;
  }

  function drawLakes() {
    const title = part("h1", "lm-title", words("pick"));
    const label = part("label", "lm-find", words("pick_label"));
    const field = part("input", "lm-field");
    const list = part("div", "lm-lakes");
    field.type = "search";
    field.value = typed;
    field.autocomplete = "off";
    label.append(field);
    function fill() {
      typed = field.value;
      const wanted = typed.toLocaleLowerCase().split(/\s+/).filter(Boolean);
      const found = model.get("lakes").filter(({ name, code }) => {
        const text = `${name} ${code}`.toLocaleLowerCase();
        return wanted.every((word) => text.includes(word));
      });
      list.replaceChildren(...found.map(({ name, code }) => {
        const node = part("button", "lm-button lm-choice", name);
        node.type = "button";
        node.dataset.code = code;
        node.addEventListener("click", () => pick(code));
        return node;
      }));
      if (!found.length) list.append(part("p", "", words("pick_none")));
    }
    field.addEventListener("input", fill);
    field.addEventListener("keydown", (event) => {
      if (event.key === "Enter") list.querySelector("button")?.click();
    });
    fill();
    const message = part("p", "lm-message", model.get("message"));
    message.setAttribute("role", "alert");
    body.replaceChildren(title, message, label, list);
    delete body.dataset.step;
    if (ownPage) document.title = words("pick");
  }

  function draw() {
    const chosen = steps().length > 0;
    const root = el.closest(".lake-meeting");
    root?.classList.toggle("lm-picking", !chosen);
    if (chosen) drawStep();
    else drawLakes();
    drawOver();
    write();
  }

  // What lies over the step: a title and paragraphs.
  function opened() {
    const [what, number] = model.get("opened").split(" ");
    if (!steps().length || !what) return null;
    if (what === "card") {
      const card = page().cards[number - 1];
      return card && [card.question, card.answer];
    }
    if (what === "known") return [page().known_title, now().known];
    if (what === "point" && now().points[number]) {
      const count = now().points.length;
      return [filled("point_of", { number: Number(number) + 1, of: count }), [now().points[number]]];
    }
    if (what === "keys") {
      const cards = page().cards.map((card, at) => `${at + 1}: ${card.question}`);
      const named = (...keys) => keys.map((key) => words(`key_${key}`));
      return [words("keys_title"), [...named("known", "point", "keep", "lake"), ...cards, ...named("step", "theme", "close")]];
    }
    return null;
  }

  function drawOver() {
    const found = opened();
    const root = el.closest(".lake-meeting");
    const [what, number] = model.get("opened").split(" ");
    root?.classList.toggle("lm-keeping", what === "keep" && steps().length > 0);
    for (const node of body.querySelectorAll("[data-point]")) {
      node.classList.toggle("lm-picked", what === "point" && node.dataset.point === number);
    }
    if (!found) {
      const was = !over.hidden;
      over.hidden = true;
      body.inert = false;
      if (was) (before?.isConnected ? before : body.querySelector(".lm-bar button:not(:disabled)"))?.focus({ preventScroll: true });
      return;
    }
    if (over.hidden) before = document.activeElement;
    const title = part("h2", "lm-over-title", found[0]);
    const text = part("div", "lm-over-text");
    const close = button("Escape", words("close"), () => set({ opened: "" }), "Esc ×");
    title.id = "lm-over-title";
    text.tabIndex = 0;
    text.setAttribute("role", "region");
    text.setAttribute("aria-labelledby", title.id);
    text.append(...found[1].map((line) => part("p", "", line)));
    over.setAttribute("role", "dialog");
    over.setAttribute("aria-modal", "true");
    over.setAttribute("aria-labelledby", title.id);
    over.className = `lm-over lm-over-${what}`;
    over.replaceChildren(title, text, part("p", "lm-caution", now().caution), close);
    over.hidden = false;
    body.inert = what !== "point"; // behind a point its picture stays in use
    text.focus({ preventScroll: true });
  }

  function keyed(event) {
    if (event.ctrlKey || event.altKey || event.metaKey || !el.isConnected || el.offsetParent === null) return;
    if (!steps().length || (!ownPage && !el.contains(event.target))) return; // a notebook has keys of its own
    if (event.target instanceof Element && event.target.closest("input, textarea, select")) return;
    const { key } = event;
    const what = model.get("opened").split(" ");
    const isPoint = what[0] === "point";
    if (key === "Escape") set({ opened: "" });
    else if (isPoint && (key === "ArrowUp" || key === "ArrowDown")) openPoint(Number(what[1]) + (key === "ArrowUp" ? -1 : 1));
    else if (NEXT.has(key) || BACK.has(key)) {
      if (what[0]) set({ opened: "" }); // the first press only closes what is open
      else go(model.get("step") + (NEXT.has(key) ? 1 : -1));
    } else if (key === "Home" && !what[0]) go(0);
    else if (key === "End" && !what[0]) go(steps().length - 1);
    else if (/^[1-9]$/.test(key) && page().cards[key - 1]) open(`card ${key}`);
    else if (key.toLowerCase() === "h") open("known");
    else if (key.toLowerCase() === "p") pointKey();
    else if (key.toLowerCase() === "k" || key === "?") open("keys");
    else if (key.toLowerCase() === "s") open("keep");
    else if (key.toLowerCase() === "d") turnTheme();
    else if (key.toLowerCase() === "l") pick("");
    else return;
    event.preventDefault();
  }

  function dress() {
    for (const theme of ["light", "dark"]) {
      document.body.classList.toggle(`explorer-${theme}`, model.get("theme") === theme);
    }
  }

  // The page's address holds lake and step, so that a page that is loaded again shows the same.
  function write() {
    if (!ownPage || repeat) return;
    const address = steps().length ? `#lake=${encodeURIComponent(page().code)}&step=${model.get("step") + 1}` : "";
    if (address !== location.hash) history.replaceState(null, "", address || location.pathname + location.search);
  }

  function read(left = MOST_REPEATS) {
    clearTimeout(repeat);
    repeat = 0;
    const said = new URLSearchParams(location.hash.slice(1));
    const lake = said.get("lake");
    if (!ownPage || !lake || left === 0 || steps().length || model.get("message")) return;
    const step = Math.min(Math.max(Number(said.get("step")) || 1, 1), 5) - 1;
    set({ step });
    model.send({ pick: lake });
    repeat = setTimeout(() => read(left - 1), REPEAT_MS);
  }

  function pageChanged() {
    clearTimeout(repeat);
    repeat = 0;
    draw();
  }

  document.addEventListener("keydown", keyed);
  model.on("change:page change:message", pageChanged);
  model.on("change:step", draw);
  model.on("change:opened", drawOver);
  model.on("change:theme", dress);
  if (ownPage && location.hash.length > 1) read();
  draw();
  requestAnimationFrame(() => { dress(); draw(); });
  return () => {
    clearTimeout(repeat);
    document.removeEventListener("keydown", keyed);
  };
}

export default { render };
