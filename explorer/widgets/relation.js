// Plots of one quantity against another: a frame that is dragged around points picks their visits.

const WIDTH = 400;
const HEIGHT = 300;
const LEFT = 56;
const RIGHT = 12;
const TOP = 10;
const BOTTOM = 40;
const DRAG_PX = 4;
const TRIANGLE = "M-5 -4h10l-5 9z"; // points down

function svg(tag, attributes = {}, text = "") {
  const node = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  if (text) node.textContent = text;
  return node;
}

const x = (share) => LEFT + share * (WIDTH - LEFT - RIGHT);
const y = (share) => TOP + (1 - share) * (HEIGHT - TOP - BOTTOM);

function axes(plot) {
  const part = svg("g");
  const frame = { x: LEFT, y: TOP, width: WIDTH - LEFT - RIGHT, height: HEIGHT - TOP - BOTTOM };
  part.append(svg("rect", { class: "relation-ground", ...frame }));
  for (const [place, label] of plot.across_ticks) {
    const line = { class: "relation-grid", x1: x(place), x2: x(place), y1: y(0), y2: y(1) };
    part.append(svg("line", line), svg("text", { x: x(place), y: y(0) + 16, "text-anchor": "middle" }, label));
  }
  for (const [place, label] of plot.up_ticks) {
    const line = { class: "relation-grid", x1: x(0), x2: x(1), y1: y(place), y2: y(place) };
    part.append(svg("line", line), svg("text", { x: LEFT - 6, y: y(place) + 4, "text-anchor": "end" }, label));
  }
  part.append(svg("text", { x: x(0.5), y: HEIGHT - 6, "text-anchor": "middle" }, plot.across_title));
  const turned = { transform: `translate(12 ${y(0.5)}) rotate(-90)`, "text-anchor": "middle" };
  part.append(svg("text", turned, plot.up_title));
  if (plot.line.length) {
    const [[x1, y1], [x2, y2]] = plot.line;
    part.append(svg("line", { class: "relation-line", x1: x(x1), y1: y(y1), x2: x(x2), y2: y(y2) }));
  }
  return part;
}

function mark(point) {
  const place = `translate(${x(point.across)} ${y(point.up)})`;
  const node =
    point.turn === null
      ? svg("circle", { class: "relation-point", r: 3.6, transform: place })
      : svg("path", { class: "relation-limit", d: TRIANGLE, transform: `${place} rotate(${point.turn})` });
  node.dataset.day = point.day;
  node.append(svg("title", {}, point.said));
  return node;
}

function render({ model, el }) {
  let drag = null;
  el.classList.add("relation-plots");

  function pick(days) {
    model.set("days", days);
    model.save_changes();
  }

  function draw() {
    drag = null;
    el.replaceChildren(...model.get("plots").map(figure));
    dress();
  }

  function figure(plot) {
    const box = document.createElement("figure");
    const title = document.createElement("figcaption");
    title.textContent = plot.title;
    const picture = svg("svg", {
      class: "relation-svg", width: WIDTH, height: HEIGHT, viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "img",
      "aria-label": plot.said,
    });
    picture.append(axes(plot), ...plot.points.map(mark));
    picture.addEventListener("pointerdown", (event) => down(event, picture, plot));
    picture.addEventListener("pointermove", move);
    picture.addEventListener("pointerup", up);
    picture.addEventListener("pointercancel", stop);
    box.append(title, picture);
    return box;
  }

  // Which points are strong: those of the picked visits, or all of the picked period.
  function dress() {
    const days = new Set(model.get("days"));
    el.querySelectorAll("svg").forEach((picture, number) => {
      const points = model.get("plots")[number].points;
      picture.querySelectorAll("[data-day]").forEach((node, index) => {
        const strong = points[index].inside && (days.size === 0 || days.has(points[index].day));
        node.classList.toggle("relation-faint", !strong);
      });
    });
  }

  function place(event) {
    const box = drag.picture.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  }

  function down(event, picture, plot) {
    if (event.button !== 0) return;
    event.preventDefault();
    picture.setPointerCapture(event.pointerId);
    drag = { picture, plot, frame: svg("rect", { class: "relation-frame" }) };
    drag.from = place(event);
    picture.append(drag.frame);
  }

  function ends(event) {
    const [left, top] = drag.from;
    const [right, foot] = place(event);
    return [Math.min(left, right), Math.min(top, foot), Math.max(left, right), Math.max(top, foot)];
  }

  function move(event) {
    if (!drag) return;
    const [left, top, right, foot] = ends(event);
    for (const [name, value] of Object.entries({ x: left, y: top, width: right - left, height: foot - top }))
      drag.frame.setAttribute(name, value);
  }

  function up(event) {
    if (!drag) return;
    const [left, top, right, foot] = ends(event);
    const { points } = drag.plot;
    stop();
    if (Math.max(right - left, foot - top) < DRAG_PX) return pick([]);
    const inside = (point) =>
      x(point.across) >= left && x(point.across) <= right && y(point.up) >= top && y(point.up) <= foot;
    pick([...new Set(points.filter(inside).map((point) => point.day))].sort());
  }

  function stop() {
    drag?.frame.remove();
    drag = null;
  }

  // Before the strip of seasons hears of it, so that a picked period stays.
  function escaped(event) {
    if (event.key !== "Escape" || !el.isConnected) return;
    const root = el.closest(".station-explorer");
    if (!root?.contains(event.target) && event.target !== document.body) return;
    if (!drag && model.get("days").length === 0) return;
    event.stopPropagation();
    stop();
    pick([]);
  }

  document.addEventListener("keydown", escaped, { capture: true });
  model.on("change:plots", draw);
  model.on("change:days", dress);
  draw();
  return () => document.removeEventListener("keydown", escaped, { capture: true });
}

export default { render };
