// The strip of seasons: draws the cells, and turns drags over the strip or a panel into whole seasons.

const DRAG_PX = 5;

function part(name, text) {
  const node = document.createElement("span");
  node.className = name;
  if (text) node.textContent = text;
  return node;
}

function render({ model, el }) {
  const title = part("strip-title");
  const cells = part("strip-cells");
  const all = document.createElement("button");
  const veil = part("strip-veil");
  all.type = "button";
  all.className = "strip-all";
  cells.tabIndex = 0;
  cells.setAttribute("role", "slider");
  el.classList.add("season-strip");
  el.append(title, cells, all, veil);
  let drag = null;

  const root = () => el.closest(".station-explorer");
  const figures = () => [...(root()?.querySelectorAll(".panel-figure") ?? [])];

  function draw() {
    const seasons = model.get("cells");
    const words = model.get("words");
    title.textContent = words.title;
    all.textContent = words.all;
    cells.replaceChildren(
      ...seasons.map((season) => {
        const kind = season.class_index < 0 ? "season-none" : `season-class-${season.class_index}`;
        const cell = part(`season-cell ${kind}`, season.letter);
        cell.title = season.said;
        return cell;
      }),
    );
    cells.setAttribute("aria-label", words.label);
    cells.setAttribute("aria-valuemin", seasons.length ? seasons[0].year : 0);
    cells.setAttribute("aria-valuemax", seasons.length ? seasons[seasons.length - 1].year : 0);
    mark();
  }

  function mark() {
    const seasons = model.get("cells");
    const picked = model.get("picked");
    [...cells.children].forEach((cell, index) => {
      const year = seasons[index].year;
      cell.classList.toggle("season-picked", picked.length === 2 && year >= picked[0] && year <= picked[1]);
    });
    all.disabled = picked.length === 0;
    cells.setAttribute("aria-valuenow", picked.length ? picked[1] : cells.getAttribute("aria-valuemax"));
    cells.setAttribute("aria-valuetext", model.get("words").picked);
  }

  function yearAt(clientX, box) {
    const seasons = model.get("cells");
    const share = Math.min(Math.max((clientX - box.left) / box.width, 0), 0.9999);
    return seasons[Math.floor(share * seasons.length)].year;
  }

  // The part of a panel or of the strip on which a drag counts, in the window's pixels; null beside both.
  function ground(target) {
    if (!(target instanceof Element) || !root()?.contains(target)) return null;
    if (target.closest(".strip-cells") === cells) return cells.getBoundingClientRect();
    const figure = target.closest(".panel-figure");
    if (!figure) return null;
    const margins = model.get("margins");
    const box = figure.getBoundingClientRect();
    return { left: box.left + margins.left, width: box.width - margins.left - margins.right };
  }

  function preview(first, last) {
    const seasons = model.get("cells");
    const box = drag.box;
    const step = box.width / seasons.length;
    const top = cells.getBoundingClientRect().top;
    const panels = figures();
    const bottom = panels.length ? panels[panels.length - 1].getBoundingClientRect().bottom : top;
    veil.style.left = `${box.left + (first - seasons[0].year) * step}px`;
    veil.style.width = `${(last - first + 1) * step}px`;
    veil.style.top = `${top}px`;
    veil.style.height = `${bottom - top}px`;
    veil.style.display = "block";
  }

  function pick(picked) {
    model.set("picked", picked);
    model.save_changes();
  }

  function down(event) {
    const box = event.button === 0 && model.get("cells").length ? ground(event.target) : null;
    if (!box || event.clientX < box.left || event.clientX > box.left + box.width) return;
    const onStrip = event.target.closest(".strip-cells") === cells;
    drag = { box, onStrip, from: event.clientX, start: yearAt(event.clientX, box), moved: onStrip };
    if (!onStrip) event.preventDefault();
    if (onStrip) preview(drag.start, drag.start);
  }

  function move(event) {
    if (!drag) return;
    drag.moved ||= Math.abs(event.clientX - drag.from) > DRAG_PX;
    if (!drag.moved) return;
    const here = yearAt(event.clientX, drag.box);
    preview(Math.min(here, drag.start), Math.max(here, drag.start));
  }

  function up(event) {
    if (!drag) return;
    const here = yearAt(event.clientX, drag.box);
    const { moved, start } = drag;
    drag = null;
    veil.style.display = "none";
    if (!moved) return;
    const picked = [Math.min(here, start), Math.max(here, start)];
    const before = model.get("picked");
    pick(before[0] === picked[0] && before[1] === picked[1] && here === start ? [] : picked);
  }

  function stop() {
    drag = null;
    veil.style.display = "none";
  }

  function keyed(event) {
    const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (!step) return;
    event.preventDefault();
    model.send({ first: event.shiftKey ? 0 : step, last: step });
  }

  function escaped(event) {
    if (event.key !== "Escape") return;
    if (drag) stop();
    else if (root()?.contains(event.target) || event.target === document.body) pick([]);
  }

  all.addEventListener("click", () => pick([]));
  cells.addEventListener("keydown", keyed);
  document.addEventListener("pointerdown", down);
  document.addEventListener("pointermove", move, { passive: true });
  document.addEventListener("pointerup", up);
  document.addEventListener("pointercancel", stop);
  document.addEventListener("keydown", escaped);
  model.on("change:cells", draw);
  model.on("change:picked", mark);
  model.on("change:words", draw);
  draw();
  return () => {
    document.removeEventListener("pointerdown", down);
    document.removeEventListener("pointermove", move);
    document.removeEventListener("pointerup", up);
    document.removeEventListener("pointercancel", stop);
    document.removeEventListener("keydown", escaped);
  };
}

export default { render };
