// Takes files, chosen or dropped, and hands their bytes over in pieces.

const PIECE = 4 * 1024 * 1024; // bytes in one message: the server takes no longer ones

function render({ model, el }) {
  const words = model.get("words");
  const label = document.createElement("label");
  const input = document.createElement("input");
  const chosen = document.createElement("span");
  const hint = document.createElement("span");
  label.className = "file-drop";
  input.type = "file";
  input.multiple = true;
  chosen.className = "file-choose";
  chosen.textContent = words.choose;
  hint.textContent = words.drop;
  label.append(input, chosen, hint);
  el.append(label);

  async function hand(files) {
    const list = [...files];
    input.disabled = true;
    for (const [number, file] of list.entries()) {
      const about = { name: file.name, size: file.size, last: number === list.length - 1 };
      if (file.size > model.get("most")) {
        model.send({ ...about, end: true, kept: false });
        continue;
      }
      const bytes = new Uint8Array(await file.arrayBuffer());
      for (let start = 0; start === 0 || start < bytes.length; start += PIECE) {
        const end = start + PIECE >= bytes.length;
        model.send({ ...about, end, kept: true }, undefined, [bytes.slice(start, start + PIECE).buffer]);
      }
    }
    input.value = "";
    input.disabled = false;
  }

  input.addEventListener("change", () => hand(input.files));
  for (const name of ["dragover", "dragleave", "drop"]) {
    label.addEventListener(name, (event) => {
      event.preventDefault();
      label.classList.toggle("file-over", name === "dragover");
      if (name === "drop") hand(event.dataTransfer.files);
    });
  }
}

export default { render };
