// The seasons of all waters as a table: a name picks its station, a year the season of the map's colours.
// Tab reaches one name and one year, arrow keys lead to the others.

const STEPS = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -1, ArrowDown: 1 };

function made(tag, name, text) {
  const node = document.createElement(tag);
  node.className = name;
  if (text) node.textContent = text;
  return node;
}

function render({ model, el }) {
  const table = made("table", "waters");
  const notes = made("div", "waters-notes");
  const frame = made("div", "waters-window");
  frame.append(table);
  el.append(frame, notes);

  function button(name, text, said, content) {
    const node = made("button", name, text);
    node.type = "button";
    node.title = said;
    node.setAttribute("aria-label", said);
    node.tabIndex = -1;
    node.addEventListener("click", () => model.send(content()));
    return node;
  }

  function heads(words, cells) {
    const row = document.createElement("tr");
    row.append(made("th", "waters-name", words.water));
    for (const { year, label } of cells) {
      const head = document.createElement("th");
      const picked = () => model.get("picked").every((end) => end === year);
      head.append(
        button("waters-year", `’${String(year).slice(-2)}`, label, () => ({ year: picked() ? null : year })),
      );
      row.append(head);
    }
    return row;
  }

  function line({ station, name, cells }) {
    const row = document.createElement("tr");
    const head = made("th", "waters-name");
    head.scope = "row";
    head.append(button("waters-pick", name, name, () => ({ station })));
    row.append(head);
    for (const { letter, said, class_index: index } of cells) {
      const cell = made("td", `waters-cell ${index < 0 ? "season-none" : `season-class-${index}`}`, letter);
      cell.title = said;
      row.append(cell);
    }
    return row;
  }

  function draw() {
    const [rows, words] = [model.get("rows"), model.get("words")];
    if (!words.label) return;
    table.setAttribute("aria-label", words.label);
    table.replaceChildren(...(rows.length ? [heads(words, rows[0].cells)] : []), ...rows.map(line));
    notes.replaceChildren(...words.sentences.map((sentence) => made("p", "", sentence)));
    for (const name of ["waters-year", "waters-pick"]) {
      const first = table.querySelector(`.${name}`);
      if (first) first.tabIndex = 0;
    }
    mark();
  }

  function mark() {
    const [rows, [first, last]] = [model.get("rows"), model.get("picked")];
    const inside = rows.length ? rows[0].cells.map(({ year }) => year >= first && year <= last) : [];
    for (const row of table.rows) {
      inside.forEach((picked, at) => {
        row.cells[at + 1].classList.toggle("waters-picked", picked);
        row.cells[at + 1].querySelector(".waters-year")?.setAttribute("aria-pressed", picked);
      });
    }
  }

  function step(event) {
    const by = STEPS[event.key];
    const alike = [...table.querySelectorAll(`.${event.target.className}`)];
    const next = by && alike[alike.indexOf(event.target) + by];
    if (!next) return;
    event.preventDefault();
    event.target.tabIndex = -1;
    next.tabIndex = 0;
    next.focus();
  }

  table.addEventListener("keydown", step);
  model.on("change:rows change:words", draw);
  model.on("change:picked", mark);
  draw();
  return () => {
    model.off("change:rows change:words", draw);
    model.off("change:picked", mark);
  };
}

export default { render };
