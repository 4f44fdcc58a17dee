// Draws a panel's dots: pieces of path without a length, whose round ends are seen.

const SVG = "http://www.w3.org/2000/svg";
const ACROSS = 20000; // steps between the panel's edges
const UP = 10000;
const OF_A_PATH = 300; // a browser paints tile by tile and passes over paths that lie elsewhere

function made(name, attributes) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  return node;
}

function numbers(view) {
  return new Float32Array(view.buffer.slice(view.byteOffset, view.byteOffset + view.byteLength));
}

function path(places) {
  let d = "";
  for (let at = 0; at < places.length; at += 2) {
    d += `M${Math.round(places[at] * ACROSS)} ${Math.round((1 - places[at + 1]) * UP)}h0`;
  }
  return made("path", { d });
}

function render({ model, el }) {
  const drawing = made("svg", {
    viewBox: `0 0 ${ACROSS} ${UP}`,
    preserveAspectRatio: "none",
    "aria-hidden": "true",
  });
  el.append(drawing);
  for (const name of ["faint", "strong"]) {
    const group = made("g", { class: `dots-${name}`, opacity: name === "faint" ? model.get("faintness") : 1 });
    const draw = () => {
      const places = numbers(model.get(name));
      const parts = Array.from({ length: Math.ceil(places.length / 2 / OF_A_PATH) }, (_, part) =>
        path(places.subarray(2 * OF_A_PATH * part, 2 * OF_A_PATH * (part + 1))),
      );
      group.replaceChildren(...parts);
    };
    drawing.append(group);
    model.on(`change:${name}`, draw);
    draw();
  }
}

export default { render };
