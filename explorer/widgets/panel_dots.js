// Draws a panel's readings: many in one path, which costs the page far less than a node for each.

const SVG = "http://www.w3.org/2000/svg";
const OF_A_PATH = 300; // a browser paints tile by tile and passes over paths that lie elsewhere
const RING_PX = 7.4; // around the reading that is spoken of
const SIGNS = {
  measured: { right: 0, down: 0, drawn: "h0" }, // without a length: its round ends are seen
  down: { right: 0, down: 4.7, drawn: "l5.5-9.5h-11z" }, // its corner points to where the value lies
  up: { right: 0, down: -4.7, drawn: "l5.5 9.5h-11z" },
  beside: { right: -3.6, down: -3.6, drawn: "h7.2v7.2h-7.2z" },
  held: { right: -4.8, down: -1.6, drawn: "h3.2v-3.2h3.2v3.2h3.2v3.2h-3.2v3.2h-3.2v-3.2h-3.2z" },
}; // [px]

function made(name, attributes) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  return node;
}

function numbers(view) {
  return new Float32Array(view.buffer.slice(view.byteOffset, view.byteOffset + view.byteLength));
}

function tenth(value) {
  return Math.round(value * 10) / 10;
}

function paths(sign, places, width, height) {
  const { right, down, drawn } = SIGNS[sign];
  const found = [];
  for (let start = 0; start < places.length; start += 2 * OF_A_PATH) {
    let d = "";
    for (let at = start; at < Math.min(places.length, start + 2 * OF_A_PATH); at += 2) {
      const [x, y] = [places[at] * width + right, (1 - places[at + 1]) * height + down];
      d += `M${tenth(x)} ${tenth(y)}${drawn}`;
    }
    found.push(made("path", { class: `sign-${sign}`, d }));
  }
  return found;
}

function render({ model, el }) {
  const drawing = made("svg", { "aria-hidden": "true" });
  const ring = made("circle", { class: "dot-ring", r: RING_PX });
  let [width, height] = [0, 0]; // as observed: to ask for them would lay the page out anew
  const draws = ["faint", "strong"].map((name) => {
    const group = made("g", { class: `dots-${name}`, opacity: name === "faint" ? model.get("faintness") : 1 });
    const draw = () => {
      const signs = Object.entries(model.get(name));
      group.replaceChildren(...signs.flatMap(([sign, view]) => paths(sign, numbers(view), width, height)));
    };
    drawing.append(group);
    model.on(`change:${name}`, draw);
    return draw;
  });
  drawing.append(ring);
  el.append(drawing);
  draws.push(() => {
    const [across, up] = model.get("ring");
    ring.style.display = across === undefined ? "none" : "";
    ring.setAttribute("cx", (across ?? 0) * width);
    ring.setAttribute("cy", (1 - (up ?? 0)) * height);
  });
  model.on("change:ring", draws.at(-1));
  const observer = new ResizeObserver(([{ contentRect }]) => {
    ({ width, height } = contentRect);
    for (const draw of draws) draw();
  });
  observer.observe(el);
  return () => observer.disconnect();
}

export default { render };
