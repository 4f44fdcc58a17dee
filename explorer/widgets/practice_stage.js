// The practice page: draws what Python hands over, and hands back the code of the button that was pressed.

function part(tag, name, text) {
  const node = document.createElement(tag);
  if (name) node.className = name;
  if (text !== undefined) node.textContent = text;
  return node;
}

let made = 0;

function render({ model, el }) {
  const ownPage = document.body.dataset.voila !== undefined;
  const live = part("div", "stage-told");
  const body = part("div", "stage-body");
  let kind = "";
  let title = "";
  let keysOn = true;
  live.setAttribute("role", "status");
  el.classList.add("stage");
  el.dataset.lmSuppressShortcuts = "true"; // a notebook leaves the keys to the buttons
  el.append(body);

  const words = (code) => model.get("words")[code];

  function press(button, field) {
    model.send({ code: button.code, written: field ? field.value : "" });
  }

  function button(given, name = "stage-button") {
    const node = part("button", name);
    node.type = "button";
    node.dataset.code = given.code;
    if (given.key) {
      const key = part("kbd", "stage-key", given.key);
      key.setAttribute("aria-hidden", "true");
      node.append(key);
      node.setAttribute("aria-keyshortcuts", given.key);
    }
    node.append(part("span", "", given.label));
    node.addEventListener("click", () => press(given));
    return node;
  }

  // A field and its button; enter in the field presses it.
  function asking(given, secret) {
    const form = part("form", "stage-asking");
    const label = part("label", "stage-asks", given.asks);
    const field = part("input", "stage-field");
    const send = part("button", "stage-button");
    made += 1;
    field.id = `stage-field-${made}`;
    field.type = "text";
    field.autocomplete = "off";
    field.spellcheck = false;
    field.maxLength = 60;
    field.dataset.code = given.code;
    field.classList.toggle("stage-secret", secret);
    label.htmlFor = field.id;
    send.type = "submit";
    send.dataset.submits = given.code;
    if (given.key) {
      const key = part("kbd", "stage-key", given.key);
      key.setAttribute("aria-hidden", "true");
      field.setAttribute("aria-keyshortcuts", given.key);
      send.append(key);
    }
    send.append(part("span", "", given.label));
    form.setAttribute("aria-label", given.label);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      press(given, field);
    });
    field.addEventListener("keydown", (event) => {
      if (event.key === "Escape") body.querySelector("h1").focus(); // the keys press buttons again
    });
    form.append(label, field, send);
    return form;
  }

  function head(page) {
    const top = part("div", "stage-head");
    const name = part("h1", "", page.title);
    const ways = part("nav", "stage-ways");
    name.tabIndex = -1;
    ways.setAttribute("aria-label", words("ways_label"));
    ways.append(...page.ways.map((way) => button(way, "stage-button stage-way")));
    top.append(name);
    if (page.ways.length && page.kind !== "before" && page.kind !== "erase") top.append(ways);
    return top;
  }

  function paper(given) {
    const node = part("section", "stage-paper");
    const list = part("dl");
    node.append(part("h2", "", given.title), list);
    for (const line of given.lines) {
      const row = part("div", "stage-line");
      const said = part("dd");
      if (line.button) {
        const mark = button(line.button, "stage-button stage-mark");
        mark.lastChild.textContent = line.text;
        mark.setAttribute("aria-label", line.button.label);
        said.append(mark);
      } else {
        said.textContent = line.text;
      }
      row.append(part("dt", "", line.name), said);
      list.append(row);
    }
    return node;
  }

  function listing(given) {
    const node = part("section", `stage-listing ${given.kind ? `stage-${given.kind}` : ""}`);
    const list = part("ul");
    list.append(...given.lines.map((line) => part("li", "", line)));
    node.append(part("h2", "", given.title), list);
    return node;
  }

  function row(given, secret) {
    const node = part("section", "stage-row");
    const asked = given.buttons.filter((each) => each.asks);
    if (given.title) node.append(part("h2", "", given.title));
    const plain = part("div", "stage-buttons");
    plain.append(...given.buttons.filter((each) => !each.asks).map((each) => button(each)));
    const alike = asked.length > 2 && asked.every((each) => each.asks === asked[0].asks);
    if (alike) node.append(part("p", "stage-asks", asked[0].asks));
    const fields = part("div", alike ? "stage-fields" : "");
    fields.append(...asked.map((each) => asking(each, secret && each.code.startsWith("do:write"))));
    if (asked.length) node.append(fields);
    if (plain.childElementCount) node.append(plain);
    return node;
  }

  function tile(given) {
    const node = button(given.button, "stage-button stage-tile");
    node.append(part("span", "stage-about", given.about), part("span", "stage-minutes", given.minutes));
    node.querySelector("span").className = "stage-name";
    return node;
  }

  function dress() {
    const node = part("div", "stage-dress");
    const large = model.get("text_size") === "large";
    const dark = isDark();
    node.setAttribute("role", "group");
    node.setAttribute("aria-label", words("dress_label"));
    const choices = [
      [words(large ? "dress_letters_large" : "dress_letters_usual"), () => model.set("text_size", large ? "" : "large")],
      [words(dark ? "dress_colours_dark" : "dress_colours_light"), () => model.set("theme", dark ? "light" : "dark")],
      [words(keysOn ? "dress_keys_on" : "dress_keys_off"), () => { keysOn = !keysOn; el.classList.toggle("stage-keyless", !keysOn); }],
    ];
    choices.forEach(([text, change], number) => {
      const choice = part("button", "stage-choice", text);
      choice.type = "button";
      choice.addEventListener("click", () => {
        change();
        model.save_changes();
        const fresh = dress();
        node.replaceWith(fresh);
        fresh.children[number].focus();
      });
      node.append(choice);
    });
    return node;
  }

  function isDark() {
    const theme = model.get("theme");
    return theme ? theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  }

  function dressed() {
    const day = el.closest(".practice-day");
    day?.classList.toggle("large-text", model.get("text_size") === "large");
    for (const theme of ["light", "dark"]) {
      document.body.classList.toggle(`explorer-${theme}`, model.get("theme") === theme);
    }
  }

  function caution(text) {
    const node = part("p", "stage-caution");
    node.append(part("strong", "", `${words("caution_label")}: `), text);
    return node;
  }

  // Fields of one page that hide what is typed, and a box to look at it.
  function reveal(page) {
    const label = part("label", "stage-reveal");
    const box = part("input");
    box.type = "checkbox";
    box.addEventListener("change", () => {
      for (const field of body.querySelectorAll(".stage-field.stage-hides")) {
        field.classList.toggle("stage-secret", !box.checked);
      }
    });
    label.append(box, words("secret_show"));
    return label;
  }

  function draw() {
    const page = model.get("page");
    if (!page.kind) return;
    const before = document.activeElement;
    const within = el.contains(before) ? before.dataset.code || before.dataset.submits || "" : null;
    const typed = new Map([...body.querySelectorAll(".stage-field")].map((field) => [field.dataset.code, field.value]));
    const parts = [head(page)];
    if (page.task) parts.push(part("p", "stage-task", page.task));
    live.replaceChildren(...page.told.map((text) => part("p", "", text)));
    live.hidden = page.told.length === 0;
    const main = part("div", "stage-main");
    const side = part("div", "stage-side");
    const shown = part("div", "stage-shown");
    if (page.picture) {
      const picture = part("div", `stage-picture stage-picture-${page.kind}`);
      picture.innerHTML = page.picture; // drawn by us; its words were escaped where it was made
      shown.append(picture);
      main.append(shown);
    }
    // What was told stands under the picture: no button moves away under the pointer.
    const tellsBelow = page.picture && page.kind === "exercise" && page.scene !== "choice";
    (tellsBelow ? shown : side).append(live);
    const rows = page.rows.map((each) => row(each, page.is_secret));
    if (page.is_secret && rows.length) {
      rows.forEach((each) => each.querySelectorAll(".stage-secret").forEach((field) => field.classList.add("stage-hides")));
      if (rows.some((each) => each.querySelector(".stage-hides"))) rows.push(reveal(page));
    }
    side.append(...rows);
    main.append(side);
    main.classList.toggle("stage-alone", !page.picture);
    parts.push(main);
    if (page.tiles.length) {
      const tiles = part("div", "stage-tiles");
      tiles.append(...page.tiles.map(tile));
      parts.push(tiles);
    }
    if (page.caution && page.kind !== "start") parts.push(caution(page.caution));
    if (page.papers.length) {
      const papers = part("div", "stage-papers");
      papers.append(...page.papers.map(paper));
      parts.push(papers);
    }
    const beside = page.picture ? 1 : 0; // lists that have room beside the picture
    side.append(...page.lists.slice(0, beside).map(listing));
    if (page.lists.length > beside) {
      const lists = part("div", "stage-lists");
      lists.append(...page.lists.slice(beside).map(listing));
      parts.push(lists);
    }
    if (page.ways.length && (page.kind === "before" || page.kind === "erase")) {
      const ways = part("div", "stage-buttons stage-end");
      ways.append(...page.ways.map((way) => button(way)));
      parts.push(ways);
    }
    if (page.caution && page.kind === "start") parts.splice(2, 0, caution(page.caution));
    parts.splice(page.kind === "keep" ? 1 : parts.length, 0, dress());
    body.dataset.pictured = String(Boolean(page.picture));
    body.replaceChildren(...parts);
    body.dataset.turn = page.turn;
    body.dataset.kind = page.kind;
    body.dataset.scene = page.scene;
    if (ownPage) document.title = page.title;
    if (kind === page.kind && title === page.title && !page.is_secret) {
      for (const field of body.querySelectorAll(".stage-field")) field.value = typed.get(field.dataset.code) ?? "";
    }
    place(page, within);
    kind = page.kind;
    title = page.title;
  }

  function toTop() {
    if (ownPage) el.closest(".practice-day").scrollIntoView({ block: "start" }); // a panel around it scrolls, not the window
  }

  // The focus stays on the same button; on a new page, and where that button is gone, it goes to the top.
  function place(page, within) {
    if (kind && (kind !== page.kind || title !== page.title)) {
      body.querySelector("h1").focus({ preventScroll: true });
      toTop();
    } else if (within !== null) {
      const same = within && body.querySelector(`[data-code="${CSS.escape(within)}"]`);
      (same || body.querySelector(".stage-row button, .stage-mark") || body.querySelector("h1")).focus({ preventScroll: true });
      if (!same) toTop();
    }
  }

  function keyed(event) {
    if (!keysOn || event.ctrlKey || event.altKey || event.metaKey || event.repeat) return;
    if (!el.isConnected || el.offsetParent === null || !/^[0-9a-z]$/i.test(event.key)) return;
    if (!ownPage && !el.contains(event.target)) return; // a notebook has keys of its own
    if (event.target instanceof Element && event.target.closest("input, textarea, select, [contenteditable]")) return;
    const found = body.querySelector(`[aria-keyshortcuts="${event.key.toLowerCase()}"]`);
    if (!found) return;
    event.preventDefault();
    if (found.tagName === "INPUT") found.focus();
    else found.click();
  }

  document.addEventListener("keydown", keyed);
  model.on("change:page", draw);
  model.on("change:text_size change:theme", dressed);
  draw();
  requestAnimationFrame(dressed);
  return () => document.removeEventListener("keydown", keyed);
}

export default { render };
